package capture

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
)

// Read reads a capture of size bytes as [ReadC3D] does if it begins like a C3D
// file, and as [ReadText] does if not. name stands for the file in errors, and
// says nothing about its format.
func Read(r io.ReaderAt, size int64, name string, hints Hints) (*Recording, error) {
	head := make([]byte, max(0, min(size, c3dBlock)))
	if err := readFull(r, head, 0); err != nil {
		return nil, fmt.Errorf("capture: %s: %w", name, err)
	}
	if isC3D(head) {
		return ReadC3D(r, size, name, hints)
	}
	return ReadText(sizedReader{io.NewSectionReader(r, 0, size), int(min(size, MaxTextBytes))}, name, hints)
}

// ReadFile opens a capture, text or C3D, and reads it as [Read] does; from a
// pipe it reads to the end first.
func ReadFile(path string, hints Hints) (*Recording, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("capture: %w", err)
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return nil, fmt.Errorf("capture: %w", err)
	}
	if info.IsDir() {
		return nil, fmt.Errorf("capture: %s: found a folder where a file is needed", path)
	}
	if info.Mode().IsRegular() {
		return Read(file, info.Size(), path, hints)
	}
	data, err := io.ReadAll(io.LimitReader(file, MaxTextBytes+1)) // a pipe, which has no size
	if err != nil {
		return nil, fmt.Errorf("capture: %w", err)
	}
	return Read(bytes.NewReader(data), int64(len(data)), path, hints)
}

// sizedReader tells ReadText how much there is to read.
type sizedReader struct {
	io.Reader
	size int
}

func (s sizedReader) Len() int { return s.size }

// readFull fills b from r at an offset where the file has that many bytes.
func readFull(r io.ReaderAt, b []byte, offset int64) error {
	n, err := r.ReadAt(b, offset)
	switch {
	case n == len(b):
		return nil
	case errors.Is(err, io.EOF):
		return io.ErrUnexpectedEOF
	}
	return err
}

// A digest is the SHA-256 of bytes, worked out beside reading them.
type digest chan struct {
	hex string
	err error
}

// digestOf starts on the digest of what r holds.
func digestOf(r io.Reader) digest {
	d := make(digest, 1)
	go func() {
		h := sha256.New()
		_, err := io.Copy(h, r)
		d <- struct {
			hex string
			err error
		}{hex.EncodeToString(h.Sum(nil)), err}
	}()
	return d
}
