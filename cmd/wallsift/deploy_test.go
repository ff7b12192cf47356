package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
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

// The commands of the service are run as they stand, two nights in a row, with
// the variables of its environment file pointing to the demo.
func TestServiceCommandsRun(t *testing.T) {
	t.Setenv("WALLSIFT_RUN_TIER", "steady") // the question is not one of the tier
	state := t.TempDir()
	own := map[string]string{"INVENTORY": demo, "SCREENING_CONFIG": write(t, "screening.yaml", "output: {top: 3}\n")}
	named := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^(\w+)=(.*)$`).FindAllStringSubmatch(deployed(t, "nightly.env"), -1) {
		named[m[1]] = true
		if strings.HasPrefix(m[1], "WALLSIFT_") {
			t.Errorf("%s would be taken as a setting", m[1])
		}
		if folder, ok := strings.CutPrefix(m[2], "/var/lib/wallsift/"); ok {
			own[m[1]] = filepath.Join(state, folder)
		}
	}
	command := func(key string) []string {
		_, line, ok := strings.Cut(deployed(t, "wallsift.service"), "\n"+key+"=")
		if !ok {
			t.Fatalf("the service has no %s", key)
		}
		line, _, _ = strings.Cut(strings.TrimPrefix(line, "-"), "\n")
		args := strings.Fields(line)
		for i := range args {
			args[i] = os.Expand(args[i], func(name string) string {
				if !named[name] || own[name] == "" {
					t.Errorf("%s: the environment file has no %s", key, name)
				}
				return own[name]
			})
		}
		return args
	}
	pre := command("ExecStartPre")
	if _, err := os.Stat(pre[0]); err != nil {
		t.Skip("a system without", pre[0])
	}
	for night, compared := range []int{exitUsage, exitDone} { // nothing to compare with in the first
		err := exec.Command(pre[0], pre[1:]...).Run()
		if night == 1 && err != nil {
			t.Error(err)
		}
		if s := call(t, t.Context(), command("ExecStart")[1:]...); s.code != exitDone {
			t.Fatalf("night %d: exit code %d: %s", night, s.code, s.err)
		}
		if got := files(t, own["RESULTS"]); len(got) < 4 {
			t.Errorf("%d result files", len(got))
		}
		if s := call(t, t.Context(), command("ExecStartPost")[1:]...); s.code != compared || compared == exitDone && !strings.Contains(s.out, "Why 0 rows moved") {
			t.Errorf("night %d: exit code %d: %s%s", night, s.code, s.out, s.err)
		}
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
	for _, name := range []string{"wallsift.service", "wallsift.timer", "nightly.env", "Containerfile", "README.md"} {
		for _, word := range []string{"http://", "https://", os.TempDir() + "/", top, "/root/", "localhost", host} {
			if strings.Contains(deployed(t, name), word) {
				t.Errorf("%s names %s", name, word)
			}
		}
	}
}
