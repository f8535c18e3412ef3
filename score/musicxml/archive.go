package musicxml

import (
	"archive/zip"
	"bytes"
	"cmp"
	"fmt"
	"io"
)

const containerName = "META-INF/container.xml"

// isZip says whether data starts as a zip file does.
func isZip(data []byte) bool { return bytes.HasPrefix(data, []byte("PK\x03\x04")) }

// unpack finds the score in a compressed container and returns the name of
// its entry and its bytes.
func unpack(data []byte) (entry string, score []byte, err error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return "", nil, fmt.Errorf("the compressed container cannot be opened: %w", err)
	}
	if len(z.File) > maxEntries {
		return "", nil, fmt.Errorf("the container holds %d files; at most %d are read", len(z.File), maxEntries)
	}
	index, err := readEntry(z, containerName, maxIndexBytes)
	if err != nil {
		return "", nil, err
	}
	entry, err = rootFile(index)
	if err != nil {
		return "", nil, err
	}
	score, err = readEntry(z, entry, maxTextBytes)
	return entry, score, err
}

// scoreMediaType is the type of the root file (W3C MusicXML 4.0, container).
const scoreMediaType = "application/vnd.recordare.musicxml+xml"

// rootFile is the score that the container's index names: the first root file
// of no stated type or of the score's own.
func rootFile(index []byte) (string, error) {
	src, err := decode(index)
	if err != nil {
		return "", fmt.Errorf("%s: %w", containerName, err)
	}
	root, err := parseTree(src.text, maxOutline)
	if err != nil {
		return "", fmt.Errorf("%s: %w", containerName, err)
	}
	for _, f := range root.child("rootfiles").all("rootfile") {
		media := f.attr("media-type")
		if path := f.attr("full-path"); path != "" && (media == "" || media == scoreMediaType) {
			return path, nil
		}
	}
	return "", fmt.Errorf("%s names no score", containerName)
}

// readEntry unpacks one file within the limits on size and ratio.
func readEntry(z *zip.Reader, name string, most int64) ([]byte, error) {
	for _, f := range z.File {
		if f.Name != name {
			continue
		}
		r, err := f.Open()
		if err != nil {
			return nil, fmt.Errorf("%s in the container: %w", name, err)
		}
		defer r.Close()
		limit := min(most, max(ratioFree, maxZipRatio*int64(min(f.CompressedSize64, maxFileBytes))))
		if f.UncompressedSize64 > uint64(limit) {
			return nil, fmt.Errorf("%s in the container unpacks to %d bytes from %d; at most %d bytes and %d times its size are read",
				name, f.UncompressedSize64, f.CompressedSize64, most, maxZipRatio)
		}
		data := make([]byte, f.UncompressedSize64) // what the container says; it is held to it
		if _, err = io.ReadFull(r, data); err == nil {
			_, err = r.Read(make([]byte, 1)) // the end, where the checksum is compared
		}
		if err != io.EOF {
			return nil, fmt.Errorf("%s in the container is damaged: %w", name, cmp.Or(err, io.ErrShortBuffer))
		}
		return data, nil
	}
	return nil, fmt.Errorf("the container has no file %s", name)
}

// repack returns the container with one entry replaced; all others are copied
// as they are, still packed.
func repack(data []byte, entry string, score []byte) ([]byte, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	if err := w.SetComment(z.Comment); err != nil {
		return nil, err
	}
	for _, f := range z.File {
		if f.Name != entry {
			if err := w.Copy(f); err != nil {
				return nil, err
			}
			continue
		}
		head := &zip.FileHeader{Name: f.Name, Comment: f.Comment, Method: f.Method, Modified: f.Modified, ExternalAttrs: f.ExternalAttrs}
		body, err := w.CreateHeader(head)
		if err != nil {
			return nil, err
		}
		if _, err := body.Write(score); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
