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
	words := func(list []string) cobra.CompletionFunc {
		return cobra.FixedCompletions(list, cobra.ShellCompDirectiveNoFileComp)
	}
	endings := func(list ...string) cobra.CompletionFunc {
		return cobra.FixedCompletions(list, cobra.ShellCompDirectiveFilterFileExt)
	}
	known := map[string]cobra.CompletionFunc{
		"set": completeSetting, "strategy": completeStrategy, "log": words(logModes), "by": words(config.Orders),
		"config": endings("yaml", "yml", "toml", "json"), "done": endings("csv"), "out": cobra.FixedCompletions(nil, cobra.ShellCompDirectiveFilterDirs),
	}
	for name, key := range settingFlags {
		if list := config.Words(key); list != nil {
			known[name] = words(list)
		}
	}
	for _, cmd := range root.Commands() {
		for name, f := range known {
			if cmd.Name() == "template" && name == "format" { // that of a file, not of a table
				f = words(templateFormats)
			}
			if cmd.Flags().Lookup(name) == nil {
				continue
			}
			if err := cmd.RegisterFlagCompletionFunc(name, f); err != nil {
				panic("wallsift: completion of --" + name + ": " + err.Error()) // a defect of the build
			}
		}
		if strings.Contains(cmd.Use, "INVENTORY") {
			cmd.ValidArgsFunction = endings("csv", "tsv", "txt", "parquet")
		}
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
