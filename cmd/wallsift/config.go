package main

import (
	"os"
	"strings"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/screen/report"
)

func newConfig() *cobra.Command {
	var plain bool
	cmd := configured(&cobra.Command{
		Use:   "config",
		Short: "Print the configuration in force, and where each value came from",
		Long:  about("config"),
		Args:  cobra.NoArgs,
	}, screenFlags, func(_ *cobra.Command, l *config.Loaded, _ []string) error {
		return l.WriteYAML(os.Stdout, !plain)
	})
	cmd.Flags().BoolVar(&plain, "plain", false, "leave out where values came from")
	return cmd
}

func newList() *cobra.Command {
	return configured(&cobra.Command{
		Use:       "list TABLE",
		Short:     "Print a table of the configuration: " + strings.Join(config.ListNames(), ", "),
		ValidArgs: config.ListNames(),
		Args:      cobra.ExactArgs(1),
	}, []string{"format"}, func(_ *cobra.Command, l *config.Loaded, args []string) error {
		header, rows, err := l.Table(args[0])
		if err != nil {
			return usage(err)
		}
		t := report.Table{Name: args[0], Title: "Table " + args[0], Columns: header, Rows: rows}
		return report.Print(os.Stdout, []report.Table{t}, l.Config.Output.Format, terminalWidth())
	})
}
