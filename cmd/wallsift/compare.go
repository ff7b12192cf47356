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
	twoFolders := func(_ *cobra.Command, args []string) error {
		if len(args) != 2 {
			return usage(fmt.Errorf("two output folders were expected, got %d; try: wallsift compare OLD NEW", len(args)))
		}
		return nil
	}
	cmd := configured(command("compare", twoFolders), []string{"format", "top"}, func(cmd *cobra.Command, l *config.Loaded, args []string) error {
		r, err := compare.Folders(cmd.Context(), &l.Config, args[0], args[1])
		if err != nil {
			return err
		}
		if err := r.Print(os.Stdout, l.Config.Output.Format, l.Config.Output.Top, widthOf(os.Stdout)); err != nil {
			return err
		}
		if failIfMoved && r.Moved {
			return coded{errors.New("something moved between the two runs"), exitMoved}
		}
		return nil
	})
	cmd.Flags().BoolVar(&failIfMoved, "fail-if-moved", false, "exit with code 4 when something moved: a fact, verdict, figure, gate, piece of work, readiness or place in the survey order, or a building that came or went")
	return cmd
}
