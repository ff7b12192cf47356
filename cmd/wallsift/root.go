package main

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"wallsift/config"
)

// settingFlags are the settings that have a flag of their own, in the commands that
// name it.
var settingFlags = map[string]string{
	"out": "output.dir", "format": "output.format", "top": "output.top", "units": "output.units", "workers": "run.workers", "tier": "run.tier",
	"by": "programme.by", "budget": "programme.budget", "target-kwh": "programme.target_kwh_a", "homes": "programme.homes",
}

// screenFlags are those of the command that judges.
var screenFlags = []string{"out", "format", "top", "units", "workers", "tier"}

// factPrefix begins the key of a fact in --set and --against.
const factPrefix = "building."

func newRoot() *cobra.Command {
	root := command("wallsift", nil)
	root.Version, root.SilenceUsage, root.SilenceErrors = version, true, true
	root.AddCommand(newScreen(), newExplain(), newConfig(), newList(), newCheck(), newTemplate(), newCompare(), newProgramme())
	for _, name := range topics {
		topic := command(name, nil) // without action, which cobra lists and prints as help
		topic.SetHelpFunc(func(cmd *cobra.Command, _ []string) { fmt.Fprint(cmd.OutOrStdout(), topicText(name)) })
		root.AddCommand(topic)
	}
	root.SetHelpCommand(newHelp())
	return root
}

// configured makes a command run with the configuration that its flags give.
func configured(cmd *cobra.Command, settings []string, run func(cmd *cobra.Command, l *config.Loaded, args []string) error) *cobra.Command {
	bind(cmd, settings)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		l, err := load(cmd, settings)
		if err != nil {
			return err
		}
		return run(cmd, l, args)
	}
	return cmd
}

// bind adds the flags every command knows, and those of the named settings.
func bind(cmd *cobra.Command, settings []string) {
	cmd.Flags().StringArray("config", nil, "configuration `file` (YAML, TOML or JSON); repeat, later wins")
	cmd.Flags().StringArray("set", nil, "set one value, `key=value`, such as run.seed=7; repeat")
	completeRows(cmd, "set", "settings", "=", 2)
	for _, name := range settings {
		key := settingFlags[name]
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
func load(cmd *cobra.Command, settings []string) (*config.Loaded, error) {
	files, _ := cmd.Flags().GetStringArray("config")
	sets, _ := cmd.Flags().GetStringArray("set")
	in := config.Inputs{Files: files, Env: os.Environ(), Flags: map[string]any{}, FlagNames: map[string]string{}}
	for _, kv := range sets {
		key, value, ok := strings.Cut(kv, "=")
		if !ok {
			return nil, usage(fmt.Errorf("--set %q: expected key=value, such as run.seed=7", kv))
		}
		if name, fact := strings.CutPrefix(key, factPrefix); fact {
			if cmd.Flags().Lookup("against") == nil {
				return nil, usage(fmt.Errorf("--set %s: a fact of a building is no setting; change the column %s in the inventory, or try it on one building with wallsift explain", kv, name))
			}
			continue
		}
		in.Flags[key] = value
	}
	for _, name := range settings {
		if f, key := cmd.Flags().Lookup(name), settingFlags[name]; f.Changed {
			in.Flags[key], in.FlagNames[key] = f.Value.String(), name
		}
	}
	return config.Load(in)
}

// widthOf returns the width of a terminal, 0 when it is none.
func widthOf(f *os.File) int {
	w, _, _ := term.GetSize(int(f.Fd())) // 0 with an error
	return w
}
