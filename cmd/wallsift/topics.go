package main

import (
	"cmp"
	"embed"
	"fmt"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
	"wallsift/screen/report"
)

//go:embed topics/*.md
var topicFiles embed.FS

// topics are the help texts that belong to no command, in the order of use.
var topics = []struct{ name, short string }{
	{"start", "First steps, and completion in the shell"},
	{"columns", "What an inventory may hold"},
	{"mapping", "How to read a list with other columns and words"},
	{"strategies", "What is judged for every building"},
	{"method", "How verdicts and ranks come about"},
	{"outputs", "Files, formats, units and exit codes"},
	{"nightly", "Running without anybody looking"},
}

// newTopics makes a command without action of each topic, which cobra lists and
// prints as help.
func newTopics() []*cobra.Command {
	var out []*cobra.Command
	for _, t := range topics {
		cmd := &cobra.Command{Use: t.name, Short: t.short}
		cmd.SetHelpFunc(func(cmd *cobra.Command, _ []string) {
			text, err := topicText(t.name, min(cmp.Or(terminalWidth(), 80), 100))
			if err != nil {
				cmd.PrintErrln("wallsift:", err)
				return
			}
			fmt.Fprint(cmd.OutOrStdout(), text)
		})
		out = append(out, cmd)
	}
	return out
}

// newHelp is cobra's help command, but a word that is no command is an error.
func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND or TOPIC]",
		Short: "Help on a command or a topic",
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return helpNames(cmd.Root(), true), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			about, rest, err := cmd.Root().Find(args)
			if err != nil || about == cmd.Root() && len(args) > 0 || len(rest) > 0 {
				word := strings.Join(args, " ")
				hint := ""
				if near := ingest.Suggest(word, helpNames(cmd.Root(), false)); near != "" {
					hint = fmt.Sprintf(" (did you mean %q?)", near)
				}
				return usage(fmt.Errorf("no help on %q%s; commands and topics are listed by: wallsift help", word, hint))
			}
			about.InitDefaultHelpFlag()
			about.InitDefaultVersionFlag()
			return about.Help()
		},
	}
}

// helpNames lists what help can be had on, with a description as completion
// wants it or without.
func helpNames(root *cobra.Command, described bool) []string {
	var out []string
	for _, c := range root.Commands() {
		if !c.IsAvailableCommand() && !c.IsAdditionalHelpTopicCommand() {
			continue
		}
		name := c.Name()
		if described {
			name = cobra.CompletionWithDesc(name, c.Short)
		}
		out = append(out, name)
	}
	return out
}

// builtIn is the configuration without any file, variable or flag.
var builtIn = sync.OnceValues(func() (*config.Loaded, error) { return config.Load(config.Inputs{}) })

func topicText(name string, width int) (string, error) {
	b, err := topicFiles.ReadFile("topics/" + name + ".md")
	if err != nil {
		return "", err
	}
	l, err := builtIn()
	if err != nil {
		return "", err
	}
	cfg := &l.Config
	return plainText(string(b), map[string]string{
		"columns":     columnsText(cfg, width),
		"strategies":  strategiesText(cfg, width),
		"indicators":  indicatorsText(width),
		"rank":        report.Wrap(screen.RankingRule, width),
		"ready":       report.Wrap(report.ReadyRule, width),
		"investigate": report.Wrap(report.InvestigateRule, width),
		"allowance":   report.Wrap(report.AllowanceRule, width),
		"caution":     report.Wrap(report.Caution+" "+report.TierCaution(cfg.Run.Tier), width),
		"tiers":       config.Describe("run.tier"),
		"formats":     strings.Join(config.Formats, ", "),
	}, width), nil
}

// entry is a name with lines below it.
func entry(b *strings.Builder, width int, name string, lines ...string) {
	const indent = "    "
	if b.Len() > 0 {
		b.WriteByte('\n')
	}
	fmt.Fprintln(b, report.Wrap(name, width))
	for _, s := range lines {
		if s != "" {
			fmt.Fprintln(b, indent+hang(s, indent, width))
		}
	}
}

func columnsText(cfg *config.Config, width int) string {
	var b strings.Builder
	for _, c := range ingest.Columns() {
		name := strings.Join(c.Headers(), ", ")
		if c.Required {
			name += " (required)"
		}
		entry(&b, width, name, c.Help, "accepts: "+accepts(&c), "where it is not known: "+withoutColumn(cfg, &c))
	}
	return b.String()
}

func strategiesText(cfg *config.Config, width int) string {
	var b strings.Builder
	for _, s := range strategiesInOrder(cfg) {
		var gates, steps []string
		for _, id := range s.Gates {
			gates = append(gates, cfg.Gates[id].Label)
		}
		for _, id := range s.Steps {
			steps = append(steps, cfg.Steps[id].Label)
		}
		size := ""
		if t := s.Thickness; t.Typical > 0 {
			size = fmt.Sprintf("thickness: %.0f mm (%.0f to %.0f)", t.Typical*1000, t.Min*1000, t.Max*1000)
		}
		entry(&b, width, s.ID+": "+s.Label, s.Summary, s.Warning, "caution: "+s.Caution, size, listed("rules", gates), listed("steps that may be needed", steps))
	}
	return b.String()
}

func listed(what string, items []string) string {
	if len(items) == 0 {
		return ""
	}
	return what + ": " + strings.Join(items, "; ")
}

func indicatorsText(width int) string {
	var b strings.Builder
	for id := range indicator.Count {
		var lines []string
		for _, tier := range []indicator.Tier{indicator.Transient, indicator.Steady} {
			if i := id.In(tier); i.Demand != "" {
				lines = append(lines, tier.String()+": "+i.Demand+", against "+i.Limit, "source: "+i.Source)
			}
		}
		i := id.Info()
		entry(&b, width, i.Name+": "+i.Label, lines...)
	}
	return b.String()
}

// plainText sets the Markdown of a help topic for the terminal. It knows what
// the topics use: headings, paragraphs of one line, items, blocks indented by
// four, code in backticks, and a line {{name}} that stands for generated text.
// An unknown name is left as it stands.
func plainText(markdown string, generated map[string]string, width int) string {
	var b strings.Builder
	for line := range strings.Lines(markdown) {
		line = strings.TrimRight(line, "\n")
		block := generated[strings.TrimSuffix(strings.TrimPrefix(line, "{{"), "}}")]
		switch {
		case strings.HasPrefix(line, "{{") && block != "":
			line = strings.TrimRight(block, "\n")
		case strings.HasPrefix(line, "    "):
		case strings.HasPrefix(line, "#"):
			line = strings.ToUpper(strings.TrimLeft(line, "# "))
		case strings.HasPrefix(line, "- "):
			line = "- " + hang(inline(line[2:], generated), "  ", width)
		default:
			line = report.Wrap(inline(line, generated), width)
		}
		b.WriteString(line)
		b.WriteByte('\n')
	}
	return b.String()
}

// inline takes the marks out of a line and puts generated words in.
func inline(s string, generated map[string]string) string {
	for name, text := range generated {
		s = strings.ReplaceAll(s, "{{"+name+"}}", text)
	}
	return strings.ReplaceAll(s, "`", "")
}

// hang wraps text and indents every line but the first.
func hang(s, indent string, width int) string {
	return strings.ReplaceAll(report.Wrap(s, width-len(indent)), "\n", "\n"+indent)
}
