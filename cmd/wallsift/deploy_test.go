package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

func deployed(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("deploy", name))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// The command of the service is run as it stands, with the variables of its
// environment file pointing to the demo.
func TestServiceCommandRuns(t *testing.T) {
	t.Setenv("WALLSIFT_RUN_TIER", "steady") // the question is not one of the tier
	_, line, ok := strings.Cut(deployed(t, "wallsift.service"), "\nExecStart=")
	if !ok {
		t.Fatal("the service starts nothing")
	}
	line, _, _ = strings.Cut(line, "\n")
	out := t.TempDir()
	own := map[string]string{"INVENTORY": demo, "SCREENING_CONFIG": write(t, "screening.yaml", "output: {top: 3}\n"), "RESULTS": out}
	named := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^(\w+)=`).FindAllStringSubmatch(deployed(t, "nightly.env"), -1) {
		named[m[1]] = true
		if strings.HasPrefix(m[1], "WALLSIFT_") {
			t.Errorf("%s would be taken as a setting", m[1])
		}
	}
	args := strings.Fields(line)
	for i := range args {
		args[i] = os.Expand(args[i], func(name string) string {
			if !named[name] || own[name] == "" {
				t.Errorf("the environment file has no %s", name)
			}
			return own[name]
		})
	}
	if s := call(t, t.Context(), args[1:]...); s.code != exitDone {
		t.Fatalf("%v: exit code %d: %s", args, s.code, s.err)
	}
	if got := files(t, out); len(got) < 4 {
		t.Errorf("%d result files", len(got))
	}
}

// What the recipe copies is there, and all that the command is built from is
// copied.
func TestContainerRecipe(t *testing.T) {
	const root = "../.."
	copied := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^COPY (\w.*) \S+$`).FindAllStringSubmatch(deployed(t, "Containerfile"), -1) {
		for _, name := range strings.Fields(m[1]) {
			copied[name] = true
			if _, err := os.Stat(filepath.Join(root, name)); err != nil {
				t.Error(err)
			}
		}
	}
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		name := e.Name()
		source := e.IsDir() && name != "testdata" && !strings.HasPrefix(name, ".")
		if source && !copied[name] && holdsGo(t, filepath.Join(root, name)) {
			t.Errorf("the folder %s is not copied", name)
		}
	}
}

func holdsGo(t *testing.T, dir string) bool {
	found := false
	err := filepath.WalkDir(dir, func(path string, _ os.DirEntry, err error) error {
		found = found || strings.HasSuffix(path, ".go")
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// No file for the night names a place that is not the reader's own.
func TestDeployFilesNameNoHost(t *testing.T) {
	here, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	host, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	top := "/" + strings.Split(strings.Trim(filepath.ToSlash(here), "/"), "/")[0] + "/"
	for _, name := range []string{"wallsift.service", "wallsift.timer", "nightly.env", "Containerfile", "README.md"} {
		for _, word := range []string{"http://", "https://", os.TempDir() + "/", top, "/root/", "localhost", host} {
			if strings.Contains(deployed(t, name), word) {
				t.Errorf("%s names %s", name, word)
			}
		}
	}
}
