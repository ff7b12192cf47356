package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"wallsift/screen/report"
)

func deployed(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("deploy", name))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// The script of the service runs as it stands, with the variables of its
// environment file pointing to folders of the test.
func TestNightlyScript(t *testing.T) {
	for _, tool := range []string{"sh", "find", "cp"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skip("a system without", tool)
		}
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	state, inventory := t.TempDir(), filepath.Join(t.TempDir(), "list.csv")
	env := map[string]string{"COMMAND": self, "INVENTORY": inventory, "SCREENING_CONFIG": write(t, "screening.yaml", "output: {top: 3}\n")}
	named := os.Environ()
	for _, m := range regexp.MustCompile(`(?m)^(\w+)=(.*)$`).FindAllStringSubmatch(deployed(t, "nightly.env"), -1) {
		if strings.HasPrefix(m[1], "WALLSIFT_") {
			t.Errorf("%s would be taken as a setting", m[1])
		}
		if folder, ok := strings.CutPrefix(m[2], "/var/lib/wallsift/"); ok {
			env[m[1]] = filepath.Join(state, folder)
		}
		if env[m[1]] == "" {
			t.Errorf("the test does not know %s", m[1])
		}
		named = append(named, m[1]+"="+env[m[1]])
	}
	start := func(list string, code int) (out, errs string) {
		t.Helper()
		if err := os.WriteFile(inventory, []byte(header+list), 0o600); err != nil {
			t.Fatal(err)
		}
		cmd := exec.CommandContext(t.Context(), "sh", filepath.Join("deploy", "nightly.sh"))
		var stdout, stderr strings.Builder
		cmd.Env, cmd.Stdout, cmd.Stderr = append(named, asCommand+"=1"), &stdout, &stderr
		cmd.Run()
		if got := cmd.ProcessState.ExitCode(); got != code {
			t.Fatalf("exit code %d, want %d: %s", got, code, stderr.String())
		}
		return stdout.String(), stderr.String()
	}
	age := func(hours time.Duration, names ...string) {
		t.Helper()
		then := time.Now().Add(-hours * time.Hour)
		for _, name := range names {
			if err := os.Chtimes(name, then, then); err != nil {
				t.Fatal(err)
			}
		}
	}
	manifest := filepath.Join(env["RESULTS"], report.ManifestJSON)
	says := func(when, out string, want string) {
		t.Helper()
		if !strings.Contains(out, want) {
			t.Errorf("%s: no %q in\n%s", when, want, out)
		}
	}
	table := func(folder string) string { return files(t, env[folder])[report.RankingCSV] }

	out, _ := start(good, exitDone)
	says("the first night", out, "no night before")
	first := table("RESULTS")
	age(24, manifest)
	for _, when := range []string{"the second night", "a second start", "one past midnight"} {
		if when == "one past midnight" { // the tables are of the day before, but not of the night before
			age(24, manifest)
			age(11, env["BEFORE"])
		}
		out, _ = start(strings.Replace(good, "A,500", "A,250", 1), exitDone)
		says(when, out, "1 home has new facts")
		if table("BEFORE") != first {
			t.Errorf("%s: the tables before are not those of the first night", when)
		}
	}
	second := table("RESULTS")
	age(24, manifest, env["BEFORE"])
	out, _ = start("A,250,brick_common,4c,moderate,none\nB,610,granite,nowhere,severe,joist_ends\n", exitRejected)
	says("rows left out", out, "1 building is gone")
	if table("BEFORE") != second {
		t.Error("the tables before are not those of the second night")
	}
	third := table("RESULTS")
	age(10, manifest) // a run that took long into the day
	age(24, env["BEFORE"])
	if out, errs := start("A\n", exitFailed); strings.Contains(out, "The two runs") || strings.Contains(errs, "nightly:") {
		t.Errorf("a night without tables was compared: %s%s", out, errs)
	}
	if table("RESULTS") != third || table("BEFORE") != third {
		t.Error("the last tables do not stand, or were not put aside")
	}
	if names := files(t, state); len(names) != 3 {
		t.Errorf("left behind: %v", names)
	}
}

// The service starts what the note says to install.
func TestServiceStartsTheScript(t *testing.T) {
	m := regexp.MustCompile(`(?m)^ExecStart=(\S+)$`).FindStringSubmatch(deployed(t, "wallsift.service"))
	if m == nil || !strings.Contains(deployed(t, "README.md"), "install -m 755 cmd/wallsift/deploy/nightly.sh "+m[1]+"\n") {
		t.Errorf("the service starts %v", m)
	}
}

// The recipe copies the command and nothing else, from a folder that the lines
// above it fill.
func TestContainerRecipe(t *testing.T) {
	var steps []string
	for line := range strings.Lines(deployed(t, "Containerfile")) {
		if !strings.HasPrefix(line, "#") {
			steps = append(steps, strings.TrimSpace(line))
		}
	}
	want := []string{"FROM scratch", "COPY wallsift /wallsift", "WORKDIR /data", "USER 65532:65532", `ENTRYPOINT ["/wallsift"]`, `CMD ["help"]`}
	if !slices.Equal(steps, want) {
		t.Errorf("steps %q", steps)
	}
	build := regexp.MustCompile(`(?m)^(?:#|) +(CGO_ENABLED=0 go build .* -o build/wallsift \./cmd/wallsift)$`)
	recipe, readme := build.FindStringSubmatch(deployed(t, "Containerfile")), build.FindStringSubmatch(deployed(t, "README.md"))
	if recipe == nil || readme == nil || recipe[1] != readme[1] {
		t.Errorf("how the command is built: %q in the recipe, %q in the note", recipe, readme)
	}
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
	for _, name := range []string{"wallsift.service", "wallsift.timer", "nightly.env", "nightly.sh", "Containerfile", "README.md"} {
		for _, word := range []string{"http://", "https://", os.TempDir() + "/", top, "/root/", "localhost", host} {
			if strings.Contains(deployed(t, name), word) {
				t.Errorf("%s names %s", name, word)
			}
		}
	}
}
