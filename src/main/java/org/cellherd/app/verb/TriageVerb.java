package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;
import org.cellherd.pile.Assessment;
import org.cellherd.pile.Reason;
import org.cellherd.pile.Triage;
import org.cellherd.pile.UnitVerdict;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;

@Command(
    name = "triage",
    mixinStandardHelpOptions = true,
    header = "Which units of a pile of used cells to use.",
    description =
        "Says for each unit: use, measure again, or do not use, with reasons, and what to "
            + "measure next. A unit is what cannot be taken apart.",
    footerHeading =
        "%nColumns of a cells file; any but id may be missing or empty, # counts measurements from"
            + " 1:%n",
    footer = {
      "  id           what is written on the unit",
      "  donor        the pack it comes from",
      "  chemistry    lfp, nmc, nca, lto or sodium-ion",
      "  rated_ah     rated capacity of the unit, Ah",
      "  series       cells in series in the unit (default: 1)",
      "  parallel     cells in parallel in the unit (default: 1)",
      "  made         day of manufacture: 2019-05-31, 2019-05 or 2019",
      "  mass_g       mass of the unit, g",
      "  damage       swollen, wet, dented, punctured, hot, leaked; several separated by blanks",
      "  remarks      anything else",
      "  rest_#_v     voltage at rest, V",
      "  rest_#_at    when: 2026-03-01T18:00, with or without offset, or just the date",
      "  res_#_mohm   resistance, milliohm",
      "  res_#_by     ac (1 kHz) or dc (a step of current)",
      "  res_#_s      seconds after the step of current (dc)",
      "  res_#_a      size of the step, A (dc)",
      "  res_#_c      temperature, degC",
      "  cap_#_ah     capacity, Ah from full to the cut-off",
      "  cap_#_a      current of the test, A",
      "  cap_#_c      temperature, degC",
      "  cap_#_to_v   cut-off voltage of the unit, V",
      "  cap_#_least  yes where the test ended before this unit was empty"
    })
final class TriageVerb implements Callable<Integer> {

  @Mixin private CellsOption cells;
  @Mixin private AnswerOutput output;

  @Override
  public Integer call() {
    Triage triage = cells.triage();
    if (output.isJson()) {
      output.json(json(triage));
    } else {
      print(triage);
    }
    return ExitCode.DONE;
  }

  private void print(Triage triage) {
    List<String> counts = new ArrayList<>();
    for (UnitVerdict verdict : UnitVerdict.values()) {
      counts.add(triage.of(verdict).size() + " " + verdict.words());
    }
    output.line(
        Spoken.counted(triage.units().size(), "unit") + ": " + String.join(", ", counts) + ".");
    for (UnitVerdict verdict :
        List.of(UnitVerdict.DO_NOT_USE, UnitVerdict.MEASURE_AGAIN, UnitVerdict.USE)) {
      List<Assessment> all = triage.of(verdict);
      if (!all.isEmpty()) {
        output.line("");
        output.line(verdict.words() + ":");
        print(all);
      }
    }
    triage
        .next()
        .ifPresent(
            most -> {
              output.line("");
              output.line(
                  "Next, for "
                      + most.getValue().size()
                      + " of them: "
                      + most.getKey()
                      + " ("
                      + String.join(", ", most.getValue())
                      + ").");
            });
    output.line("");
    Cautions.LIST.forEach(output::line);
  }

  /** Units of which the same is to be said stand in one line. */
  private void print(List<Assessment> all) {
    Map<String, List<String>> ids = new LinkedHashMap<>();
    for (Assessment one : all) {
      ids.computeIfAbsent(text(one), t -> new ArrayList<>()).add(one.unit().id());
    }
    ids.forEach((text, units) -> output.line("  " + String.join(" ", units) + text));
  }

  private static String text(Assessment one) {
    List<String> parts = new ArrayList<>(one.reasons().stream().map(Reason::sentence).toList());
    if (!one.missing().isEmpty()) {
      parts.add("Not known: " + String.join(", ", one.missing()) + ".");
    }
    return parts.isEmpty() ? "" : ": " + String.join(" ", parts);
  }

  private static Facts json(Triage triage) {
    Facts.Builder all =
        Facts.of().put("units", triage.units().stream().map(TriageVerb::facts).toList());
    triage
        .next()
        .ifPresentOrElse(
            n ->
                all.put(
                    "next",
                    Facts.of().put("measure", n.getKey()).put("units", n.getValue()).build()),
            () -> all.putUnknown("next"));
    return all.build();
  }

  private static Facts facts(Assessment one) {
    Facts.Builder facts =
        Facts.of()
            .put("id", one.unit().id())
            .put("verdict", one.verdict().word())
            .put(
                "reasons",
                one.reasons().stream()
                    .map(
                        r ->
                            Facts.of()
                                .put("about", r.about())
                                .put("verdict", r.verdict().word())
                                .put("text", r.sentence())
                                .build())
                    .toList())
            .put("missing", one.missing())
            .put("next", one.next().orElse(null));
    one.selfDischargePctPerMonth()
        .ifPresentOrElse(
            s ->
                facts
                    .putLow("self_discharge_pct_per_month_low", s.low(), 2)
                    .putHigh("self_discharge_pct_per_month_high", s.high(), 2),
            () ->
                facts
                    .putUnknown("self_discharge_pct_per_month_low")
                    .putUnknown("self_discharge_pct_per_month_high"));
    return facts.build();
  }
}
