package workbook

import (
	"archive/zip"
	"bufio"
	"cmp"
	"context"
	"io"
	"os"
	"slices"

	"github.com/klauspost/compress/flate"
	"github.com/xuri/excelize/v2"

	"wallsift/screen/report"
)

// save writes the workbook in two steps. The library walks its streamed sheets
// in the order of a map and gathers the archive in memory; so the archive goes
// to a file of its own first, and its parts are then copied, still compressed,
// in a fixed order.
func save(ctx context.Context, f *excelize.File, path string) error {
	loose := path + ".loose"
	defer os.Remove(loose)
	if err := report.WriteFile(loose, func(out *bufio.Writer) error {
		f.SetZipWriter(func(io.Writer) excelize.ZipWriter {
			w := zip.NewWriter(stoppable{ctx, out})
			w.RegisterCompressor(zip.Deflate, func(to io.Writer) (io.WriteCloser, error) { return flate.NewWriter(to, 5) })
			return w
		})
		_, err := f.WriteTo(io.Discard)
		return err
	}); err != nil {
		return err
	}
	r, err := zip.OpenReader(loose)
	if err != nil {
		return err
	}
	defer r.Close()
	slices.SortFunc(r.File, func(a, b *zip.File) int {
		return cmp.Or(cmp.Compare(turn(a.Name), turn(b.Name)), cmp.Compare(a.Name, b.Name))
	})
	return report.WriteFile(path, func(out *bufio.Writer) error {
		w := zip.NewWriter(stoppable{ctx, out})
		for _, part := range r.File {
			if err := w.Copy(part); err != nil {
				return err
			}
		}
		return w.Close()
	})
}

// stoppable is a writer that takes no more once its context ended.
type stoppable struct {
	ctx context.Context
	w   io.Writer
}

func (s stoppable) Write(b []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	return s.w.Write(b)
}

// turn puts the parts first that readers look for first, by common practice.
func turn(name string) int {
	switch name {
	case "[Content_Types].xml":
		return 0
	case "_rels/.rels":
		return 1
	}
	return 2
}
