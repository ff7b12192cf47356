package main

import (
	"embed"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
	"wallsift/screen/report"
)

// topicFiles are the help texts of topics and of commands.
//
//go:embed topics/*.txt
var topicFiles embed.FS

// command is a command or topic with what its file says of it: how it is used, what it
// does in a line, a longer text, and examples.
func command(name string, args cobra.PositionalArgs) *cobra.Command {
	b, err := topicFiles.ReadFile("topics/" + name + ".txt")
	if err != nil {
		panic(err) // a defect of the build
	}
	text := strings.NewReplacer("{{caution}}", report.Caution, "{{tables}}", strings.Join(config.ListNames(), ", ")).Replace(string(b))
	text, example, _ := strings.Cut(strings.TrimSpace(text), "\n\nExamples:\n")
	use, text, _ := strings.Cut(text, "\n")
	short, long, _ := strings.Cut(text, "\n")
	return &cobra.Command{Use: use, Short: short, Long: strings.TrimSpace(long), Example: example, Args: args}
}

// topics are the help texts that belong to no command, in the order of use.
var topics = []string{"start", "columns", "mapping", "strategies", "method", "outputs", "nightly"}

// newHelp is cobra's help command, but a word that is no command is an error.
func newHelp() *cobra.Command {
	help := command("help", nil)
	help.RunE = func(cmd *cobra.Command, args []string) error {
		about, rest, err := cmd.Root().Find(args)
		if err != nil || about == cmd.Root() && len(args) > 0 || len(rest) > 0 {
			word, hint := strings.Join(args, " "), ""
			var names []string
			for _, c := range cmd.Root().Commands() {
				names = append(names, c.Name())
			}
			if near := ingest.Suggest(word, names); near != "" {
				hint = fmt.Sprintf(" (did you mean %q?)", near)
			}
			return usage(fmt.Errorf("no help on %q%s; commands and topics are listed by: wallsift help", word, hint))
		}
		about.InitDefaultHelpFlag()
		about.InitDefaultVersionFlag()
		return about.Help()
	}
	return help
}

// topicText is a topic as it is printed, with what follows from the tables.
func topicText(name string) string {
	l, err := config.Load(config.Inputs{}) // without any file, variable or flag
	if err != nil {
		panic(err) // a defect of the build
	}
	cfg := &l.Config
	return strings.NewReplacer(
		"{{columns}}", columnsText(cfg),
		"{{strategies}}", strategiesText(cfg),
		"{{indicators}}", indicatorsText(),
		"{{rank}}", wrapped(screen.RankingRule),
		"{{ready}}", wrapped(report.ReadyRule),
		"{{investigate}}", wrapped(report.InvestigateRule),
		"{{allowance}}", wrapped(report.AllowanceRule),
		"{{cautions}}", wrapped(report.Caution+" "+report.TierCaution(cfg.Run.Tier)),
		"{{tiers}}", wrapped("run.tier chooses how finely the year is judged. "+config.Describe("run.tier")+"."),
		"{{formats}}", wrapped("--format chooses how tables are printed: "+strings.Join(config.Formats, ", ")+
			". --top bounds the rows of the long ones, 0 prints all."),
	).Replace(command(name, nil).Long + "\n")
}

// wrapped breaks text into lines as long as those of the topics.
func wrapped(s string) string { return report.Wrap(s, 80) }

// entry is a name with lines below it.
func entry(name string, lines ...string) string {
	out := "\n" + wrapped(name) + "\n"
	for _, s := range lines {
		if s != "" {
			out += "    " + strings.ReplaceAll(report.Wrap(s, 76), "\n", "\n    ") + "\n"
		}
	}
	return out
}

func columnsText(cfg *config.Config) string {
	out := ""
	for _, c := range ingest.Columns() {
		name := strings.Join(c.Headers(), ", ")
		if c.Required {
			name += " (required)"
		}
		out += entry(name, c.Help, "accepts: "+accepts(&c), "where it is not known: "+withoutColumn(cfg, &c))
	}
	return strings.Trim(out, "\n")
}

func strategiesText(cfg *config.Config) string {
	out := ""
	for _, s := range config.InOrder(cfg.Strategies) {
		size := ""
		if t := s.Thickness; t.Typical > 0 {
			size = fmt.Sprintf("thickness: %.0f mm (%.0f to %.0f)", t.Typical*1000, t.Min*1000, t.Max*1000)
		}
		out += entry(s.ID+": "+s.Label, s.Summary, s.Warning, "caution: "+s.Caution, size,
			listed("rules", s.Gates, func(id string) string { return cfg.Gates[id].Label }),
			listed("steps that may be needed", s.Steps, func(id string) string { return cfg.Steps[id].Label }))
	}
	return strings.Trim(out, "\n")
}

// listed names the rows that a strategy lists, if any.
func listed(what string, ids []string, label func(id string) string) (out string) {
	before := what + ": "
	for _, id := range ids {
		out += before + label(id)
		before = "; "
	}
	return out
}

func indicatorsText() string {
	out := ""
	for id := range indicator.Count {
		var lines []string
		for _, tier := range []indicator.Tier{indicator.Transient, indicator.Steady} {
			if i := id.In(tier); i.Demand != "" {
				lines = append(lines, tier.String()+": "+i.Demand+", against "+i.Limit, "source: "+i.Source)
			}
		}
		i := id.Info()
		out += entry(i.Name+": "+i.Label, lines...)
	}
	return strings.Trim(out, "\n")
}
