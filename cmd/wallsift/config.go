package main

import (
	"os"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/screen/report"
)

func newConfig() *cobra.Command {
	var plain bool
	cmd := configured(command("config", cobra.NoArgs), screenFlags, func(_ *cobra.Command, l *config.Loaded, _ []string) error {
		return l.WriteYAML(os.Stdout, !plain)
	})
	cmd.Flags().BoolVar(&plain, "plain", false, "leave out where values came from")
	return cmd
}

func newList() *cobra.Command {
	cmd := command("list", cobra.ExactArgs(1))
	cmd.ValidArgs = config.ListNames()
	return configured(cmd, []string{"format"}, func(_ *cobra.Command, l *config.Loaded, args []string) error {
		header, rows, err := l.Table(args[0])
		if err != nil {
			return usage(err)
		}
		t := report.Table{Name: args[0], Title: "Table " + args[0], Columns: header, Rows: rows}
		return report.Print(os.Stdout, []report.Table{t}, l.Config.Output.Format, widthOf(os.Stdout))
	})
}
