package study

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"strconv"
	"strings"
	"sync"
)

// A Part is one of several shares of a study's runs, analysed apart from the
// others: of runs 1, 2, 3 … it has every Of-th from run Number on.
type Part struct{ Number, Of int }

// ParsePart reads a part as it is written: "2/8".
func ParsePart(text string) (Part, error) {
	number, of, ok := strings.Cut(text, "/")
	k, err := strconv.Atoi(number)
	n, e := strconv.Atoi(of)
	if !ok || err != nil || e != nil || k < 1 || k > n {
		return Part{}, fmt.Errorf("study: part %q; it must be k/n with k from 1 to n, such as 2/8", text)
	}
	return Part{k, n}, nil
}

func (p Part) String() string { return fmt.Sprintf("part %d of %d", p.Number, p.Of) }

// of returns the runs of the part; none where there are fewer runs than parts.
func (p Part) of(runs []Run) []Run {
	var mine []Run
	for i := p.Number - 1; i < len(runs); i += p.Of {
		mine = append(mine, runs[i])
	}
	return mine
}

// count returns how many of a number of runs the part has.
func (p Part) count(runs int) int { return max(0, (runs-p.Number+p.Of)/p.Of) }

// AnalyzePart imports and fits the runs of a part of the study, as Analyze does.
// Its results are those of the runs by themselves: Pool puts those of a part
// together, Merge those of all parts.
func AnalyzePart(ctx context.Context, s *Study, part Part, p Progress) ([]*Result, error) {
	runs := part.of(s.Runs)
	results := make([]*Result, len(runs))
	done := 0
	err := Stream(ctx, s, runs, nil, func(i int, r *Result) {
		results[i] = r
		done++
		if p != nil {
			p(done, len(runs), r.Run.ID)
		}
	})
	return results, err
}

// sum returns a hash of all that the results of different runs share: the study
// and the references of its clubs.
func (s *Study) sum() (string, error) {
	h := sha256.New()
	if err := s.Write(h); err != nil {
		return "", err
	}
	f, err := openFolder(s.Path)
	if err != nil {
		return "", err
	}
	defer f.close()
	for _, c := range s.Clubs {
		fmt.Fprintln(h, f.sum(c.Reference)) // a hash takes whatever it is given
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// programSum is the hash of the program's file: one that was built otherwise may
// round otherwise.
var programSum = sync.OnceValues(func() (string, error) {
	path, err := os.Executable()
	if err != nil {
		return "", err
	}
	return sumOf(path)
})
