package study

import (
	"context"
	"path/filepath"
	"time"
)

// A stamp is what a file system tells of a file's content without reading it.
type stamp struct {
	size     int64
	modified time.Time
}

// stamp returns the stamp of a file in the folder, the zero stamp if it cannot
// be had.
func (f folder) stamp(name string) stamp {
	if f.root == nil {
		return stamp{}
	}
	info, err := f.root.Stat(filepath.FromSlash(name))
	if err != nil {
		return stamp{} // reading it tells why
	}
	return stamp{info.Size(), info.ModTime()}
}

// sum returns the SHA-256 of a file in the folder, in hex; "" if it cannot be
// read.
func (f folder) sum(name string) string {
	if f.root == nil {
		return ""
	}
	file, err := f.root.Open(filepath.FromSlash(name))
	if err != nil {
		return ""
	}
	defer file.Close()
	sum, err := hashOf(file)
	if err != nil {
		return ""
	}
	return sum
}

// Changed returns the ids of the runs whose captures are not what they were
// when the results were made. Only files with another size or time than then are
// read. Runs without a result do not count.
func Changed(ctx context.Context, s *Study, results []*Result) []string {
	f, err := openFolder(s.Path)
	if err != nil {
		return nil // analysing says why
	}
	defer f.close()
	var ids []string
	for _, r := range results {
		if ctx.Err() != nil {
			break
		}
		if r == nil || r.Capture.SHA256 == "" || f.stamp(r.Run.File) == r.stamp {
			continue
		}
		if f.sum(r.Run.File) != r.Capture.SHA256 {
			ids = append(ids, r.Run.ID)
		}
	}
	return ids
}
