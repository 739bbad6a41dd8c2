package study

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"bendline/capture"
)

// A folder is where the captures of a study are. Nothing outside it is read,
// not even through a symbolic link.
type folder struct{ root *os.Root }

// openFolder opens the folder of the study file at path.
func openFolder(path string) (folder, error) {
	root, err := os.OpenRoot(filepath.Dir(path))
	if err != nil {
		return folder{}, fmt.Errorf("study: %w", err)
	}
	return folder{root}, nil
}

func (f folder) close() error { return f.root.Close() }

// read reads the capture with the given name, a relative path with slashes.
func (f folder) read(name string, hints capture.Hints) (*capture.Recording, error) {
	path := filepath.FromSlash(name)
	switch {
	case name == "":
		return nil, errors.New("study: no file is named")
	case filepath.IsAbs(path):
		return nil, fmt.Errorf("study: %q is an absolute path; name the file from the study's folder on", name)
	case !filepath.IsLocal(path):
		return nil, fmt.Errorf("study: %q lies outside the study's folder; move it inside", name)
	}
	info, err := f.root.Stat(path)
	var p *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("study: there is no file %q in the study's folder", name)
	case errors.As(err, &p):
		return nil, fmt.Errorf("study: %q cannot be read inside the study's folder: %w", name, p.Err)
	case err != nil:
		return nil, fmt.Errorf("study: %q cannot be read: %w", name, err)
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("study: %q is not a plain file", name)
	}
	file, err := f.root.Open(path)
	if err != nil {
		return nil, fmt.Errorf("study: %w", err)
	}
	defer file.Close()
	return capture.Read(file, info.Size(), name, hints)
}
