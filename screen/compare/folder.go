package compare

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"

	"wallsift/screen/report"
	"wallsift/screen/report/picks"
	"wallsift/screen/results"
)

// ErrFolder marks a folder that is not the output of a run.
var ErrFolder = results.ErrFolder

// folder is the output of one run: its ranking, and what is read of its run.json.
type folder struct {
	*results.Folder
	Version       string             `json:"version"`
	Revision      string             `json:"revision"`
	Compiler      string             `json:"go"`
	Method        string             `json:"method"`
	Tier          string             `json:"tier"`
	Weather       string             `json:"weather"`
	Seed          json.Number        `json:"seed"`
	Configuration string             `json:"configuration_sha256"`
	Ranking       string             `json:"ranking_parquet_sha256"`
	Labels        map[string]string  `json:"strategy_labels"`
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
	opened, err := results.Open(dir, buildingColumn, strategyColumn, compared[verdict].names[0])
	if err != nil {
		return nil, err
	}
	f := &folder{Folder: opened}
	switch err := json.Unmarshal(f.Manifest, f); {
	case err != nil:
		err = f.Again("%s cannot be read: %v", report.ManifestJSON, err)
		f.Close()
		return nil, err
	case f.Version == "" || f.Configuration == "":
		f.Close()
		return nil, f.Again("%s names no version or no configuration_sha256, so it is not of a run", report.ManifestJSON)
	}
	if err := f.Whole(f.Ranking); err != nil {
		f.Close()
		return nil, err
	}
	return f, nil
}

// rejected says why rows were left out, by building.
func (f *folder) rejected() (map[string]string, error) {
	out := map[string]string{}
	return out, f.Table(report.RejectsCSV, func(cells map[string]string) {
		why := cells["reason"]
		if column := cells["column"]; column != "" {
			why = fmt.Sprintf("%s %q: %s", column, cells["value"], why)
		}
		if id := cells[buildingColumn]; out[id] == "" {
			out[id] = why
		}
	})
}

// order lists the buildings of a file of the folder in its order: of the survey, or
// of the programme, which lies in a folder of its own.
func (f *folder) order(name string) (ids []string, err error) {
	err = f.Table(name, func(cells map[string]string) { ids = append(ids, cells[buildingColumn]) })
	return ids, err
}

// holds says whether a file is there.
func (f *folder) holds(name string) bool {
	_, err := os.Stat(filepath.Join(f.Dir, name))
	return err == nil
}

// Where the orders of a run lie; that of its programme if it was made.
var (
	survey    = report.SurveyCSV
	programme = filepath.Join("programme", picks.CSV)
)
