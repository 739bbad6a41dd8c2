package study

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// Find returns the files that paths stand for, each once: of a folder all files
// in it and in the folders in it, but for hidden ones and study files.
func Find(ctx context.Context, paths []string) ([]string, error) {
	var found []string
	add := func(path string) error {
		path, err := filepath.Abs(path)
		if err != nil {
			return fmt.Errorf("study: %w", err)
		}
		if !slices.Contains(found, path) {
			found = append(found, path)
		}
		return nil
	}
	for _, path := range paths {
		err := filepath.WalkDir(path, func(at string, e fs.DirEntry, err error) error {
			switch {
			case err != nil:
				return fmt.Errorf("study: %w", err)
			case ctx.Err() != nil:
				return ctx.Err()
			case at == path && !e.IsDir():
				return add(at)
			case at != path && strings.HasPrefix(e.Name(), "."):
				if e.IsDir() {
					return fs.SkipDir
				}
				return nil
			case e.IsDir() || !e.Type().IsRegular() || isStudyFile(at):
				return nil
			}
			return add(at)
		})
		if err != nil {
			return nil, err
		}
	}
	return found, nil
}

// isStudyFile reports whether a file is a study and no capture.
func isStudyFile(path string) bool {
	if !strings.EqualFold(filepath.Ext(path), ".json") {
		return false
	}
	_, err := Open(path)
	return err == nil
}

// Bring carries the plan out: it copies files from outside the study's folder
// into it, and returns the study with the clubs, players and runs that the plan
// adds. A file is copied whole or not at all, and never over another: one of the
// same name and other content makes its name end in a number. The study is not
// saved. If anything fails, or ctx is cancelled, what was copied is removed.
// progress may be nil.
func (p Plan) Bring(ctx context.Context, progress Progress) (*Study, error) {
	if b := p.Blocked(); b.Why != "" {
		return nil, errors.New("study: " + b.Why)
	}
	names := make(map[string]string) // by path, from the study's folder on
	var copied []string
	done := 0
	for _, a := range p.Files {
		if a.Use == Aside {
			continue
		}
		err := ctx.Err()
		if err == nil {
			var made string
			names[a.Path], made, err = p.bringFile(ctx, a)
			if made != "" {
				copied = append(copied, made)
			}
		}
		if err != nil {
			for _, path := range copied {
				err = errors.Join(err, os.Remove(path))
			}
			return nil, fmt.Errorf("study: %w", err)
		}
		done++
		if progress != nil {
			progress(done, p.Count(), filepath.Base(a.Path))
		}
	}
	st := p.carriedOut(names)
	if err := st.Validate(); err != nil {
		for _, path := range copied {
			err = errors.Join(err, os.Remove(path))
		}
		return nil, fmt.Errorf("study: %w", err)
	}
	return st, nil
}

// bringFile has a file in the study's folder and returns its name from there
// on, and the path of the copy if one was made. The file must be as it was when
// it was looked at.
func (p *Plan) bringFile(ctx context.Context, a Arrival) (name, made string, err error) {
	if name = p.within(a.Path); name != "" {
		return name, "", nil
	}
	dir := filepath.Dir(p.Study.Path)
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return "", "", err
	}
	base, ending := stem(a.Path), filepath.Ext(a.Path)
	for n := 1; ; n++ {
		name = base + ending
		if n > 1 {
			name = fmt.Sprintf("%s-%d%s", base, n, ending)
		}
		to := filepath.Join(dir, name)
		sum, err := sumOf(to)
		switch {
		case err == nil && sum == a.Capture.SHA256:
			return name, "", nil
		case err == nil:
			continue
		case !errors.Is(err, fs.ErrNotExist):
			return "", "", err
		}
		switch err := copyNew(ctx, a.Path, to, a.Capture.SHA256); {
		case err == nil:
			return name, to, nil
		case !errors.Is(err, fs.ErrExist):
			return "", "", err
		}
	}
}

// sumOf returns the hash of a file's bytes.
func sumOf(path string) (string, error) {
	file, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer file.Close()
	return hashOf(file)
}

// hashOf returns the SHA-256 of what r holds, in hex.
func hashOf(r io.Reader) (string, error) {
	h := sha256.New()
	_, err := io.Copy(h, r)
	return hex.EncodeToString(h.Sum(nil)), err
}

// copyNew copies a file to a path where there must be none. The copy appears
// whole, and only if its bytes have the hash.
func copyNew(ctx context.Context, from, to, sum string) (err error) {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(temporaryFor(to), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	defer func() {
		if e := os.Remove(out.Name()); err == nil && e != nil && !errors.Is(e, fs.ErrNotExist) {
			err = e
		}
	}()
	h := sha256.New()
	_, err = io.Copy(io.MultiWriter(out, h), cancellable{ctx, in})
	if err == nil {
		err = out.Sync()
	}
	if e := out.Close(); err == nil {
		err = e
	}
	if err != nil {
		return err
	}
	if hex.EncodeToString(h.Sum(nil)) != sum {
		return fmt.Errorf("%s changed since it was looked at; add it again", from)
	}
	if err := os.Chmod(out.Name(), 0o644); err != nil {
		return err
	}
	// A link is refused where there is a file; where there are no links, look
	// and then move.
	err = os.Link(out.Name(), to)
	if err == nil || errors.Is(err, fs.ErrExist) {
		return err
	}
	if _, e := os.Lstat(to); !errors.Is(e, fs.ErrNotExist) {
		return fs.ErrExist
	}
	return os.Rename(out.Name(), to)
}

// A cancellable reader ends when its context does.
type cancellable struct {
	ctx context.Context
	io.Reader
}

func (c cancellable) Read(b []byte) (int, error) {
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	return c.Reader.Read(b)
}

// carriedOut returns the study with what the plan adds; names has the files'
// names from the study's folder on.
func (p *Plan) carriedOut(names map[string]string) *Study {
	st := *p.Study
	st.World = p.World
	st.Clubs, st.Players, st.Runs = slices.Clone(st.Clubs), slices.Clone(st.Players), slices.Clone(st.Runs)
	clubs, players := len(st.Clubs), len(st.Players)
	for _, a := range p.Files {
		if a.Use != AsReference {
			continue
		}
		if c := st.Club(a.Club); c != nil {
			c.Reference, c.Import = names[a.Path], a.Hints
			continue
		}
		c := p.draft(a.Club).Club
		c.Reference, c.Import = names[a.Path], a.Hints
		st.Clubs = append(st.Clubs, c)
	}
	for i := range st.Clubs {
		c := &st.Clubs[i]
		c.Aliases = p.aliases(c.ID, c.Markers, c.Aliases)
	}
	for _, a := range p.Files {
		if a.Use != AsRun {
			continue
		}
		if a.Player != "" && st.Player(a.Player) == nil {
			st.Players = append(st.Players, Player{ID: a.Player, Label: labelOf(a.Player)})
		}
		id := newIDOf(stem(a.Path), func(id string) bool { return st.Run(id) != nil })
		st.Runs = append(st.Runs, Run{ID: id, File: names[a.Path], Club: a.Club, Player: a.Player, Import: a.Hints})
	}
	slices.SortFunc(st.Clubs[clubs:], func(a, b Club) int { return strings.Compare(a.ID, b.ID) })
	slices.SortFunc(st.Players[players:], func(a, b Player) int { return strings.Compare(a.ID, b.ID) })
	return &st
}
