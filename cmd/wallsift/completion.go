package main

import (
	"maps"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"wallsift/config"
)

// complete teaches every command what its flags and arguments may be. The
// command "completion", which prints the scripts for the shells, is cobra's.
func complete(root *cobra.Command) {
	for _, cmd := range root.Commands() {
		flags := cmd.Flags()
		if cmd.Name() == "template" { // its format is that of a file, not of a table
			offer(cmd, "format", cobra.FixedCompletions(templateFormats, cobra.ShellCompDirectiveNoFileComp))
			offer(cmd, "units", cobra.FixedCompletions(config.Units, cobra.ShellCompDirectiveNoFileComp))
		}
		for name, key := range settingFlags {
			if words := config.Words(key); words != nil && flags.Lookup(name) != nil {
				offer(cmd, name, cobra.FixedCompletions(words, cobra.ShellCompDirectiveNoFileComp))
			}
		}
		if flags.Lookup("set") != nil {
			offer(cmd, "set", completeSetting)
		}
		if flags.Lookup("log") != nil {
			offer(cmd, "log", cobra.FixedCompletions(logModes, cobra.ShellCompDirectiveNoFileComp))
		}
		if flags.Lookup("strategy") != nil {
			offer(cmd, "strategy", completeStrategy)
		}
		if flags.Lookup("config") != nil {
			offer(cmd, "config", cobra.FixedCompletions([]string{"yaml", "yml", "toml", "json"}, cobra.ShellCompDirectiveFilterFileExt))
		}
		if flags.Lookup("out") != nil {
			offer(cmd, "out", cobra.FixedCompletions(nil, cobra.ShellCompDirectiveFilterDirs))
		}
		if strings.Contains(cmd.Use, "INVENTORY") {
			cmd.ValidArgsFunction = cobra.FixedCompletions([]string{"csv", "tsv", "txt", "parquet"}, cobra.ShellCompDirectiveFilterFileExt)
		}
	}
}

// offer registers a completion, unless the flag has one.
func offer(cmd *cobra.Command, flag string, f cobra.CompletionFunc) {
	if _, there := cmd.GetFlagCompletionFunc(flag); there {
		return
	}
	if err := cmd.RegisterFlagCompletionFunc(flag, f); err != nil {
		panic("wallsift: completion of --" + flag + ": " + err.Error()) // a flag that is not there: a defect of the build
	}
}

// loadFor loads the configuration as far as the line that is being completed
// gives it.
func loadFor(cmd *cobra.Command) (*config.Loaded, error) {
	files, err := cmd.Flags().GetStringArray("config")
	if err != nil {
		return nil, err
	}
	return config.Load(config.Inputs{Files: files, Env: os.Environ()})
}

// completeSetting offers the settings, and after the = what they may be.
func completeSetting(cmd *cobra.Command, _ []string, typed string) ([]string, cobra.ShellCompDirective) {
	if key, _, ok := strings.Cut(typed, "="); ok {
		var out []string
		for _, w := range config.Words(key) {
			out = append(out, key+"="+w)
		}
		return out, cobra.ShellCompDirectiveNoFileComp
	}
	l, err := loadFor(cmd)
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	_, rows, err := l.Table("settings")
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var out []string
	for _, r := range rows {
		if strings.HasPrefix(r[0], typed) {
			out = append(out, cobra.CompletionWithDesc(r[0]+"=", r[2]))
		}
	}
	return out, cobra.ShellCompDirectiveNoSpace | cobra.ShellCompDirectiveNoFileComp
}

// completeStrategy offers the strategies, those of the user's files among them.
func completeStrategy(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
	l, err := loadFor(cmd)
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var out []string
	for _, id := range slices.Sorted(maps.Keys(l.Config.Strategies)) {
		out = append(out, cobra.CompletionWithDesc(id, l.Config.Strategies[id].Label))
	}
	return out, cobra.ShellCompDirectiveNoFileComp
}
