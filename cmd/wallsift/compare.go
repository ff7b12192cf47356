package main

import (
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"wallsift/screen/compare"
	"wallsift/screen/report"
)

func newCompare() *cobra.Command {
	var s shared
	cmd := &cobra.Command{
		Use:   "compare OLD NEW",
		Short: "Show what moved between two runs, and why",
		Long: "Reads the output folders of two runs and prints which settings differ, how many verdicts moved,\n" +
			"which best strategies changed, and the rows that moved, most important first, each with its\n" +
			"reason: a fact of the building, the method (a setting, a weather file, the version), both, or\n" +
			"the other buildings of the run. \"wallsift help nightly\" explains the reasons.\n\n" +
			"Exit codes: 0 compared, whatever moved, 1 failed, 2 bad usage or not a folder of a run.",
		Example: "  wallsift compare results/monday results/tuesday\n  wallsift compare --top 0 --format csv old new",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return usage(fmt.Errorf("two output folders were expected, got %d; try: wallsift compare OLD NEW", len(args)))
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			l, err := s.load(cmd)
			if err != nil {
				return err
			}
			r, err := compare.Folders(cmd.Context(), args[0], args[1], l.Config.Output.Top)
			if errors.Is(err, compare.ErrFolder) {
				return usage(err)
			}
			if err != nil {
				return err
			}
			return report.Print(os.Stdout, r.Tables(), l.Config.Output.Format, terminalWidth())
		},
	}
	cmd.ValidArgsFunction = cobra.FixedCompletions(nil, cobra.ShellCompDirectiveFilterDirs)
	s.bind(cmd, map[string]string{"format": "output.format", "top": "output.top"})
	return cmd
}
