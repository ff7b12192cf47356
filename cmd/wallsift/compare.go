package main

import (
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/screen/compare"
)

func newCompare() *cobra.Command {
	var failIfMoved bool
	cmd := configured(&cobra.Command{
		Use:   "compare OLD NEW",
		Short: "Show what moved between two runs, and by what",
		Long: "Reads the output folders of two runs and says, in sentences that can be sent on, which homes\n" +
			"have new facts and what came of it; then how many verdicts moved by which cause (facts of the\n" +
			"home, settings, weather files, method), what moved without a verdict, savings, readiness, and\n" +
			"the survey order. \"wallsift help nightly\" explains the causes. --format json gives all of it under\n" +
			"keys that stay, with the number of the form under schema. Rows of tables of your own have their\n" +
			"labels where --config is the one the runs had; --format csv and json have ids.\n\n" +
			"Exit codes: 0 compared, whatever moved, 1 failed, 2 bad usage or not a folder of a run,\n" +
			"4 something moved, with --fail-if-moved alone.",
		Example: "  wallsift compare results/monday results/tuesday\n  wallsift compare --top 0 --format markdown old new\n  wallsift compare --fail-if-moved --format json old new",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return usage(fmt.Errorf("two output folders were expected, got %d; try: wallsift compare OLD NEW", len(args)))
			}
			return nil
		},
	}, []string{"format", "top"}, func(cmd *cobra.Command, l *config.Loaded, args []string) error {
		r, err := compare.Folders(cmd.Context(), &l.Config, args[0], args[1])
		if err != nil {
			return err
		}
		if err := r.Print(os.Stdout, l.Config.Output.Format, l.Config.Output.Top, terminalWidth()); err != nil {
			return err
		}
		if failIfMoved && r.Moved {
			return coded{exitMoved, errors.New("something moved between the two runs")}
		}
		return nil
	})
	cmd.Flags().BoolVar(&failIfMoved, "fail-if-moved", false, "exit with code 4 when something moved: a fact, verdict, figure, gate, piece of work, readiness or place in the survey order, or a building that came or went")
	return cmd
}
