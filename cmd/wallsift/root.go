package main

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"wallsift/config"
	"wallsift/screen"
)

// shared holds the flags every command knows.
type shared struct {
	files []string
	sets  []string
	facts []string // of --set building.NAME=VALUE, where the command knows it
	// direct flags that stand for a setting: flag name → key path
	flags map[string]string
}

// factPrefix begins the key of a fact in --set and --against.
const factPrefix = "building."

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "wallsift",
		Short: "Screen portfolios of old masonry buildings for retrofit strategies",
		Long: "wallsift reads an inventory of old masonry buildings, judges every building under every\n" +
			"retrofit strategy with a heat-and-moisture model, and writes ranked tables.",
		Version:       version,
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return usage(err) })
	root.AddCommand(newScreen(), newExplain(), newConfig(), newList(), newCheck(), newTemplate(), newCompare(), newProgramme())
	root.AddCommand(newTopics()...)
	root.SetHelpCommand(newHelp())
	return root
}

// bind adds the shared flags, and a flag for each named setting.
func (s *shared) bind(cmd *cobra.Command, settings map[string]string) {
	cmd.Flags().StringArrayVar(&s.files, "config", nil, "configuration `file` (YAML, TOML or JSON); repeat, later wins")
	cmd.Flags().StringArrayVar(&s.sets, "set", nil, "set one value, `key=value`, such as run.seed=7; repeat")
	s.flags = settings
	completeRows(cmd, "set", "settings", "=", 2)
	for name, key := range settings {
		cmd.Flags().String(name, "", config.Describe(key))
		cmd.RegisterFlagCompletionFunc(name, cobra.FixedCompletions(config.Words(key), cobra.ShellCompDirectiveDefault))
	}
}

// completeRows lets the shell complete a flag with the first cells of a table of
// the configuration, that of the files named before it among them, and with what
// a setting may be.
func completeRows(cmd *cobra.Command, flag, table, end string, meaning int) {
	cmd.RegisterFlagCompletionFunc(flag, func(_ *cobra.Command, _ []string, typed string) (out []string, _ cobra.ShellCompDirective) {
		key, _, _ := strings.Cut(typed, "=")
		for _, word := range config.Words(key) {
			out = append(out, key+"="+word)
		}
		files, _ := cmd.Flags().GetStringArray("config")
		if l, err := config.Load(config.Inputs{Files: files, Env: os.Environ()}); err == nil {
			_, rows, _ := l.Table(table)
			for _, r := range rows {
				if name := r[0] + end; strings.HasPrefix(name, typed) {
					out = append(out, cobra.CompletionWithDesc(name, r[meaning]))
				}
			}
		}
		return out, cobra.ShellCompDirectiveNoSpace | cobra.ShellCompDirectiveNoFileComp
	})
}

// load layers the configuration: defaults, files, environment, flags.
func (s *shared) load(cmd *cobra.Command) (*config.Loaded, error) {
	in := config.Inputs{Files: s.files, Env: os.Environ(), Flags: map[string]any{}, FlagNames: map[string]string{}}
	for _, kv := range s.sets {
		key, value, ok := strings.Cut(kv, "=")
		if !ok {
			return nil, usage(fmt.Errorf("--set %q: expected key=value, such as run.seed=7", kv))
		}
		if name, fact := strings.CutPrefix(key, factPrefix); fact {
			if cmd.Flags().Lookup("against") == nil {
				return nil, usage(fmt.Errorf("--set %s: a fact of a building is no setting; change the column %s in the inventory, or try it on one building with wallsift explain", kv, name))
			}
			s.facts = append(s.facts, kv)
			continue
		}
		in.Flags[key] = value
	}
	for name, key := range s.flags {
		if f := cmd.Flags().Lookup(name); f.Changed {
			in.Flags[key], in.FlagNames[key] = f.Value.String(), name
		}
	}
	return config.Load(in)
}

func (s *shared) engine(cmd *cobra.Command) (*config.Loaded, *screen.Engine, error) {
	l, err := s.load(cmd)
	if err != nil {
		return nil, nil, err
	}
	e, err := screen.NewEngine(l)
	if err != nil {
		return nil, nil, usage(err)
	}
	return l, e, nil
}

// terminalWidth returns the width of the standard output, 0 when it is not a
// terminal.
func terminalWidth() int { return widthOf(os.Stdout) }

func widthOf(f *os.File) int {
	w, _, _ := term.GetSize(int(f.Fd())) // 0 with an error
	return w
}
