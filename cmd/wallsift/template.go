package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"wallsift/config"
)

// templateFormats are the kinds of file a template can be.
var templateFormats = []string{"csv", "parquet"}

func newTemplate() *cobra.Command {
	var format, units string
	cmd := &cobra.Command{
		Use:   "template [FILE]",
		Short: "Write an inventory to start from, with every column and two example rows",
		Long: "Writes an inventory that has every known column and two rows of an invented place, and next\n" +
			"to it FILE_columns.txt, which is wallsift help columns. Without FILE the CSV goes to the standard\n" +
			"output and nothing else is written. Optional columns may be deleted. A file that exists is\n" +
			"never overwritten.",
		Example: "  wallsift template homes.csv && wallsift check homes.csv\n  wallsift template --units ip homes.csv\n  wallsift template homes.parquet",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return writeTemplate(args, format, units)
		},
	}
	cmd.Flags().StringVar(&format, "format", "", "kind of file: csv or parquet; by the end of FILE when not given")
	cmd.Flags().StringVar(&units, "units", config.UnitsSI, "units of the column names: si (mm, m) or ip (in, ft)")
	return cmd
}

func writeTemplate(args []string, format, units string) error {
	if !slices.Contains(config.Units, units) {
		return usage(fmt.Errorf("--units %q: expected one of %s", units, strings.Join(config.Units, ", ")))
	}
	path := ""
	if len(args) == 1 && args[0] != "-" {
		path = args[0]
	}
	parquet := strings.EqualFold(filepath.Ext(path), ".parquet")
	if format == "" {
		format = "csv"
		if parquet {
			format = "parquet"
		}
	}
	switch {
	case !slices.Contains(templateFormats, format):
		return usage(fmt.Errorf("--format %q: expected one of %s", format, strings.Join(templateFormats, ", ")))
	case path == "" && format == "parquet":
		return usage(errors.New("a Parquet file does not go to the standard output; name it, as in: wallsift template homes.parquet"))
	case parquet != (format == "parquet"):
		return usage(fmt.Errorf("%s does not end as a %s file does; rename it, or give --format to match", path, format))
	}
	form := templateCSV
	if parquet {
		form = templateParquet
	}
	body, err := form(units)
	if err != nil {
		return err
	}
	if path == "" {
		_, err := os.Stdout.Write(body)
		return err
	}
	notes, err := topicText("columns", 80)
	if err != nil {
		return err
	}
	explained := strings.TrimSuffix(path, filepath.Ext(path)) + "_columns.txt"
	if err := writeNew(path, body); err != nil {
		return err
	}
	if err := writeNew(explained, []byte(notes)); err != nil {
		os.Remove(path) // half a template would look whole
		return err
	}
	fmt.Fprintf(os.Stderr, "%s has every column and two example rows of an invented place: put yours in their stead.\n%s explains the columns. Next: wallsift check %s\n", path, explained, path)
	return nil
}

// writeNew writes a file that must not exist yet: it may hold somebody's work.
func writeNew(path string, body []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	switch {
	case errors.Is(err, fs.ErrExist):
		return usage(fmt.Errorf("%s exists and is not overwritten; give another name, or move it away", path))
	case errors.Is(err, fs.ErrNotExist):
		return usage(fmt.Errorf("%s cannot be made, its folder is missing; make the folder first", path))
	case err != nil:
		return fmt.Errorf("making the template: %w; check the folder's permissions", err)
	}
	_, err = f.Write(body)
	if err = cmp.Or(err, f.Close()); err != nil {
		os.Remove(path)
		return fmt.Errorf("writing the template: %w; check that the disk has room", err)
	}
	return nil
}
