package study

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
)

// Files returns the files that the study names, each once: references, then
// captures.
func (s *Study) Files() []string {
	var files []string
	add := func(name string) {
		if name != "" && !slices.Contains(files, name) {
			files = append(files, name)
		}
	}
	for _, c := range s.Clubs {
		add(c.Reference)
	}
	for _, r := range s.Runs {
		add(r.File)
	}
	return files
}

// CopyTo writes the study to another path. Where that is in another folder, the
// files the study names are copied there first and the study file comes last;
// a file of the same name but other content that is there already is an error.
// Files that the study names and does not have are passed over. p may be nil. It
// returns the study at its new place.
func (s *Study) CopyTo(ctx context.Context, path string, p Progress) (*Study, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, fmt.Errorf("study: %w", err)
	}
	from, err := filepath.Abs(filepath.Dir(s.Path))
	if err != nil {
		return nil, fmt.Errorf("study: %w", err)
	}
	if to := filepath.Dir(path); to != from {
		if err := s.copyFiles(ctx, to, p); err != nil {
			return nil, err
		}
	}
	c := *s
	c.Path = path
	return &c, c.Save(path)
}

// copyFiles copies the study's files to a folder, which is made if need be.
func (s *Study) copyFiles(ctx context.Context, dir string, p Progress) error {
	source, err := openFolder(s.Path)
	if err != nil {
		return err
	}
	defer source.close()
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return fmt.Errorf("study: %w", err)
	}
	target, err := os.OpenRoot(dir)
	if err != nil {
		return fmt.Errorf("study: %w", err)
	}
	there := folder{target}
	defer there.close()
	files := s.Files()
	for i, name := range files {
		if err := ctx.Err(); err != nil {
			return fmt.Errorf("study: %w", err)
		}
		sum := source.sum(name)
		switch {
		case sum == "": // not there, or outside the folder: analysing says so
		case there.stamp(name) != stamp{} && there.sum(name) == sum:
		case there.stamp(name) != stamp{}:
			return fmt.Errorf("study: %s has a %s with other content; choose an empty folder", dir, name)
		default:
			if err := source.copyFile(name, dir); err != nil {
				return err
			}
		}
		if p != nil {
			p(i+1, len(files), "")
		}
	}
	return nil
}

// copyFile copies a file of the folder to the same name in dir.
func (f folder) copyFile(name, dir string) error {
	local := filepath.FromSlash(name)
	in, err := f.root.Open(local)
	if err != nil {
		return fmt.Errorf("study: %w", err)
	}
	defer in.Close()
	out := filepath.Join(dir, local)
	if err := os.MkdirAll(filepath.Dir(out), 0o777); err != nil {
		return fmt.Errorf("study: %w", err)
	}
	return WriteFile(out, func(w io.Writer) error {
		_, err := io.Copy(w, in)
		return err
	})
}
