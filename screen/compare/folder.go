package compare

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/apache/arrow/go/v17/parquet/file"

	"wallsift/screen/report"
)

// ErrFolder marks a folder that is not the output of a run.
var ErrFolder = errors.New("not the output of a run")

// folder is the output of one run: its ranking, and what is read of its run.json.
type folder struct {
	dir           string
	pq            *file.Reader
	columns       []string           // of the ranking
	Version       string             `json:"version"`
	Revision      string             `json:"revision"`
	Compiler      string             `json:"go"`
	Method        string             `json:"method"`
	Tier          string             `json:"tier"`
	Weather       string             `json:"weather"`
	Seed          json.Number        `json:"seed"`
	Configuration string             `json:"configuration_sha256"`
	Ranking       string             `json:"ranking_parquet_sha256"`
	Settings      map[string]setting `json:"settings"` // every one that can move a figure
	WeatherFiles  []struct {
		Station string   `json:"station"`
		SHA256  string   `json:"sha256"`
		Zones   []string `json:"zones"`
	} `json:"weather_files"`
}

// setting is a value of a setting as text. Older runs noted text alone.
type setting string

// UnmarshalJSON implements json.Unmarshaler.
func (s *setting) UnmarshalJSON(b []byte) error {
	var text string
	if json.Unmarshal(b, &text) == nil && string(b) != "null" {
		*s = setting(text)
		return nil
	}
	var out bytes.Buffer
	err := json.Compact(&out, b)
	*s = setting(out.String())
	return err
}

// openFolder reads run.json and opens the ranking. Its errors wrap ErrFolder and
// say what to do.
func openFolder(dir string) (*folder, error) {
	f := &folder{dir: dir}
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, f.bad("there is no such folder; name the folder that a run was given with --out")
	case err != nil:
		return nil, f.bad("it cannot be read: %v", err)
	case !info.IsDir():
		return nil, f.bad("this is a file; name the folder it lies in")
	}
	for _, name := range []string{report.ManifestJSON, report.RankingParquet} {
		if _, err := os.Stat(filepath.Join(dir, name)); errors.Is(err, fs.ErrNotExist) {
			return nil, f.again("there is no %s in it", name)
		}
	}
	b, err := os.ReadFile(filepath.Join(dir, report.ManifestJSON))
	if err == nil {
		err = json.Unmarshal(b, f)
	}
	if err != nil {
		return nil, f.again("%s cannot be read: %v", report.ManifestJSON, err)
	}
	if f.Version == "" || f.Configuration == "" {
		return nil, f.again("%s names no version or no configuration_sha256, so it is not of a run", report.ManifestJSON)
	}
	sum, err := report.HashFile(filepath.Join(dir, report.RankingParquet))
	if err != nil {
		return nil, f.again("%s cannot be read: %v", report.RankingParquet, err)
	}
	if f.Ranking != "" && sum != f.Ranking { // one file of each night
		return nil, f.again("%s is not the one that %s is of: a run was stopped while it put its files in place, or a file was changed", report.RankingParquet, report.ManifestJSON)
	}
	return f, f.openRanking()
}

func (f *folder) bad(format string, args ...any) error {
	return fmt.Errorf("%s is %w: %s", f.dir, ErrFolder, fmt.Sprintf(format, args...))
}

// again is bad for what another run would mend.
func (f *folder) again(format string, args ...any) error {
	return fmt.Errorf("%w; run wallsift screen again with --out %s", f.bad(format, args...), f.dir)
}

// table reads a CSV file of the folder and hands out the cells of its rows by the
// names of their columns, without the guard against formulas. A file that is
// missing has no rows.
func (f *folder) table(name string, each func(cells map[string]string)) error {
	opened, err := os.Open(filepath.Join(f.dir, name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return f.bad("%s cannot be read: %v", name, err)
	}
	defer opened.Close()
	rows := csv.NewReader(opened)
	head, err := rows.Read()
	for err == nil {
		var row []string
		if row, err = rows.Read(); err == nil {
			cells := map[string]string{}
			for i, column := range head {
				cells[column] = report.Unguarded(row[i])
			}
			each(cells)
		}
	}
	if !errors.Is(err, io.EOF) {
		return f.again("%s cannot be read to its end (%v)", name, err)
	}
	return nil
}

// rejected says why rows were left out, by building.
func (f *folder) rejected() (map[string]string, error) {
	out := map[string]string{}
	return out, f.table(report.RejectsCSV, func(cells map[string]string) {
		why := cells["reason"]
		if column := cells["column"]; column != "" {
			why = fmt.Sprintf("%s %q: %s", column, cells["value"], why)
		}
		if id := cells[buildingColumn]; out[id] == "" {
			out[id] = why
		}
	})
}

// survey lists the buildings of the survey order.
func (f *folder) survey() (order []string, err error) {
	err = f.table(report.SurveyCSV, func(cells map[string]string) { order = append(order, cells[buildingColumn]) })
	return order, err
}
