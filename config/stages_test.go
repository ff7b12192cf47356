package config_test

import (
	"testing"

	"wallsift/config"
)

func TestEveryStepAndLayerHasAStage(t *testing.T) {
	c := &load(t, config.Inputs{}).Config
	stages := config.Stages(config.InOrder(c.Stages))
	for id, s := range c.Steps {
		if stage, ok := stages.Of(&s); !ok || s.Stage == "" || stage.ID != s.Stage || stage.Order > s.Order {
			t.Errorf("step %s, order %d: stage %q, order %d", id, s.Order, s.Stage, stage.Order)
		}
	}
	for id, s := range c.Strategies {
		for _, l := range append(s.Outside, s.Inside...) {
			if _, ok := stages.OfLayer(&l, c.Materials[l.Material].Kind); !ok {
				t.Errorf("%s: no stage for %s", id, l.Material)
			}
		}
	}
	for i := range stages[1:] {
		if stages[i].Order >= stages[i+1].Order {
			t.Errorf("%s does not come before %s", stages[i].ID, stages[i+1].ID)
		}
	}
}

// A step without a stage falls into the last one that has begun; a layer's own
// stage goes before its material's, and that before its kind's.
func TestStagesAreFound(t *testing.T) {
	c := &load(t, config.Inputs{}).Config
	stages := config.Stages(config.InOrder(c.Stages))
	for order, want := range map[int]string{5: "before", 9: "before", 10: "water", 24: "water", 31: "repointing", 57: "salts_timber", 1000: "draughts"} {
		if got, ok := stages.Of(&config.Step{Order: order}); !ok || got.ID != want {
			t.Errorf("order %d is in stage %q, expected %q", order, got.ID, want)
		}
	}
	if _, ok := stages.Of(&config.Step{Order: 4}); ok {
		t.Error("a step before the first stage has one")
	}
	for _, l := range []struct {
		layer config.StrategyLayer
		want  string
	}{
		{config.StrategyLayer{Material: "lime_plaster"}, "lining"}, // by kind
		{config.StrategyLayer{Material: "lime_parge"}, "parging"},  // the same kind, by material
		{config.StrategyLayer{Material: "lime_parge", Stage: "lining"}, "lining"},
		{config.StrategyLayer{Material: "calcium_silicate"}, "insulation"},
		{config.StrategyLayer{Material: "variable_retarder"}, "retarder"},
	} {
		if got, ok := stages.OfLayer(&l.layer, c.Materials[l.layer.Material].Kind); !ok || got.ID != l.want {
			t.Errorf("%+v is in stage %q, expected %q", l.layer, got.ID, l.want)
		}
	}
}

func TestWrongStagesAreNamed(t *testing.T) {
	for name, c := range map[string]struct {
		text  string
		words []string
	}{
		"step in no stage":     {"steps: {repoint_lime: {stage: repoint}}", []string{"steps.repoint_lime.stage", `"repoint"`, "no such row in stages", `"repointing"`}},
		"step before all":      {"steps: {first_of_all: {label: A, order: 2, reason: b, source: c}}", []string{"steps.first_of_all.stage", "no stage begins at or before order 2"}},
		"builds nothing known": {"steps: {parge_lime: {builds: lime_parg}}", []string{"steps.parge_lime.builds", `"lime_parg"`, `"lime_parge"`}},
		"layer in no stage":    {"strategies: {tight_foam: {inside: [{material: closed_cell_foam, sized: true, stage: insulate}]}}", []string{"strategies.tight_foam.inside[0].stage", `"insulate"`, "no such row in stages"}},
		"kind in no stage":     {"stages: {insulation: {kinds: []}}", []string{"strategies.drained_cavity.inside[2].stage", "no stage lists the material mineral_wool or the kind insulation"}},
		"kind unknown":         {"stages: {insulation: {kinds: [insulaton, insulation]}}", []string{"stages.insulation.kinds[0]", `"insulaton"`, `"insulation"`}},
		"kind twice":           {"stages: {render: {kinds: [insulation]}}", []string{"stages.render.kinds[0]", "kind insulation", "is listed by the stage insulation already"}},
		"material twice":       {"stages: {render: {materials: [lime_parge, render_exterior]}}", []string{"stages.render.materials[0]", "is listed by the stage parging already"}},
		"material unknown":     {"stages: {render: {materials: [rendr_exterior]}}", []string{"stages.render.materials[0]", `"render_exterior"`}},
		"same place":           {"stages: {render: {order: 86}}", []string{"stages.render.order", "86", "lining has the same order"}},
		"no place":             {"stages: {render: {order: 0}}", []string{"stages.render.order", "found 0", "expected 1 to"}},
		"new row lacks texts":  {"stages: {tiling: {order: 95}}", []string{"stages.tiling.label", "missing"}},
		"dropped but in use":   {"stages: {water: {drop: true}}", []string{"steps.rainwater_repair.stage", "stages.water was dropped"}},
		"face without a stage": {"stages: {face: {materials: []}}", []string{"strategies.interior_wool_retarder.face", "face_treatment"}},
		"no such column":       {"stages: {water: {repairs: true}}", []string{"stages.water.repairs", `"repair"`}},
	} {
		t.Run(name, func(t *testing.T) {
			path := write(t, "a.yaml", c.text)
			wantProblem(t, problems(t, config.Inputs{Files: []string{path}}), c.words...)
		})
	}
}
