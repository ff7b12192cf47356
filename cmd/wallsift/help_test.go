package main

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
)

// Every topic is printed in full, fits the page, and holds no mark of how it
// was written.
func TestTopics(t *testing.T) {
	for _, topic := range topics {
		t.Run(topic, func(t *testing.T) {
			s := call(t, t.Context(), "help", topic)
			if s.code != exitDone || s.err != "" || len(s.out) < 500 {
				t.Fatalf("exit code %d, %d bytes, %s", s.code, len(s.out), s.err)
			}
			if direct := call(t, t.Context(), topic); direct.out != s.out || direct.code != exitDone {
				t.Error("the word alone prints something else")
			}
			for _, mark := range []string{"{{", "`", "\n#"} {
				if strings.Contains(s.out, mark) {
					t.Errorf("%q is left in the text", mark)
				}
			}
			for line := range strings.Lines(s.out) {
				if n := len([]rune(strings.TrimSuffix(line, "\n"))); n > 80 {
					t.Errorf("%d characters: %s", n, line)
				}
			}
			for _, m := range regexp.MustCompile(`wallsift list (\w+)`).FindAllStringSubmatch(flat(s.out), -1) {
				if m[1] != "TABLE" && m[1] != "and" && !slices.Contains(config.ListNames(), m[1]) {
					t.Errorf("there is no table %q", m[1])
				}
			}
			for _, m := range regexp.MustCompile(`wallsift help (\w+)`).FindAllStringSubmatch(flat(s.out), -1) {
				if topicIndex(m[1]) < 0 {
					t.Errorf("there is no topic %q", m[1])
				}
			}
		})
	}
}

func topicIndex(name string) int {
	for i, topic := range topics {
		if topic == name {
			return i
		}
	}
	return -1
}

// The generated parts follow the tables.
func TestTopicsFollowTheTables(t *testing.T) {
	columns := call(t, t.Context(), "help", "columns").out
	for _, c := range ingest.Columns() {
		if !strings.Contains(flat(columns), flat(c.Help)) || !strings.Contains(columns, c.Headers()[0]) {
			t.Errorf("column %s", c.Name)
		}
	}
	l, err := config.Load(config.Inputs{})
	if err != nil {
		t.Fatal(err)
	}
	strategies := flat(call(t, t.Context(), "help", "strategies").out)
	for id, s := range l.Config.Strategies {
		if !strings.Contains(strategies, flat(id+": "+s.Label+" "+s.Summary)) {
			t.Errorf("strategy %s", id)
		}
	}
	method := flat(call(t, t.Context(), "help", "method").out)
	for id := range indicator.Count {
		for _, tier := range []indicator.Tier{indicator.Steady, indicator.Transient} {
			if i := id.In(tier); i.Demand != "" && !strings.Contains(method, flat(tier.String()+": "+i.Demand+", against "+i.Limit)) {
				t.Errorf("indicator %s, tier %v", i.Name, tier)
			}
		}
	}
	for _, f := range config.Formats {
		if !strings.Contains(call(t, t.Context(), "help", "outputs").out, f) {
			t.Errorf("format %s", f)
		}
	}
}

func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

// The example of the topic on mapping is a configuration as it stands.
func TestMappingExampleIsRead(t *testing.T) {
	b, err := topicFiles.ReadFile("topics/mapping.txt")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(b), "    input:\n")
	example, _, _ := strings.Cut(rest, "\n\n")
	body := "input:\n" + strings.ReplaceAll(example, "\n    ", "\n")[4:] + "\n"
	list := write(t, "list.csv", "Asset No;Wall (cm);Walling;climate_zone;exposure;embedded timber;Notes on height\nA;60;whin;4c;moderate;N;low\n")
	s := call(t, t.Context(), "check", "--config", write(t, "mine.yaml", body), list)
	if s.code != exitDone || !strings.Contains(s.err, "1 row can be screened, 0 rows") {
		t.Errorf("%s%s\n%s", s.out, s.err, body)
	}
}

func TestHelpOnNothing(t *testing.T) {
	for _, c := range []struct {
		args []string
		says string
	}{{[]string{"help", "colums"}, `"columns"`}, {[]string{"help", "foo", "bar"}, "wallsift help"}, {[]string{"help", "list", "x"}, "wallsift help"}} {
		if s := call(t, t.Context(), c.args...); s.code != exitUsage || !strings.Contains(s.err, c.says) {
			t.Errorf("%v: exit code %d, %s", c.args, s.code, s.err)
		}
	}
	s := call(t, t.Context(), "help")
	for _, topic := range topics {
		if !strings.Contains(s.out, "wallsift "+topic) {
			t.Errorf("help does not list %s", topic)
		}
	}
	if s := call(t, t.Context(), "help", "screen"); s.code != exitDone || !strings.Contains(s.out, "--units") {
		t.Errorf("%s%s", s.out, s.err)
	}
}

func TestCompletion(t *testing.T) {
	extra := write(t, "extra.yaml", "strategies: {tight_foam: {drop: true}}\n")
	for _, c := range []struct {
		args      []string
		want, not string
	}{
		{[]string{"explain", "x.csv", "--strategy", ""}, "drained_cavity\t", "--"},
		{[]string{"explain", "x.csv", "--strategy", ""}, "tight_foam\t", "--"},
		{[]string{"explain", "x.csv", "--config", extra, "--strategy", ""}, "drained_cavity\t", "tight_foam"},
		{[]string{"screen", "--set", "run."}, "run.max_rejected_share=\t", "output.dir"},
		{[]string{"screen", "--set", "output.units="}, "output.units=ip\n", "output.format"},
		{[]string{"screen", "--set", "indoor.method="}, "indoor.method=en15026\n", "output"},
		{[]string{"screen", "--units", ""}, "ip\n", "json"},
		{[]string{"screen", "--format", ""}, "markdown\n", "parquet"},
		{[]string{"explain", "--units", ""}, "si\n", "json"},
		{[]string{"list", ""}, "materials\n", "--"},
	} {
		s := call(t, t.Context(), append([]string{"__complete"}, c.args...)...)
		if !strings.Contains(s.out, c.want) || strings.Contains(s.out, c.not) {
			t.Errorf("%v: expected %q and not %q in\n%s", c.args, c.want, c.not, s.out)
		}
	}
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		if s := call(t, t.Context(), "completion", shell); s.code != exitDone || len(s.out) < 1000 {
			t.Errorf("%s: exit code %d, %d bytes", shell, s.code, len(s.out))
		}
	}
}
