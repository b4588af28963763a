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
import org.cellherd.pile.CellsFile;
import org.cellherd.pile.Triage;
import org.cellherd.report.TextTable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;

@Command(
    name = "triage",
    mixinStandardHelpOptions = true,
    header = "Which units of a pile of used cells to use.",
    description =
        "Says for each unit: use, measure again, or do not use, with reasons, and what to "
            + "measure next. A unit is what cannot be taken apart.",
    footerHeading =
        "%nColumns of a cells file; any but id may be missing or empty, # counts measurements from"
            + " 1:%n")
final class TriageVerb implements Callable<Integer> {

  @Mixin private CellsOption cells;
  @Mixin private AnswerOutput output;

  /** Puts the columns of a cells file below the options. */
  @Spec
  void describe(CommandSpec spec) {
    TextTable columns = new TextTable(2);
    CellsFile.columns().forEach(columns::row);
    spec.usageMessage().footer(columns.lines().toArray(String[]::new));
  }

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
    for (Triage.Verdict verdict : Triage.Verdict.values()) {
      counts.add(triage.of(verdict).size() + " " + verdict.words());
    }
    output.line(
        Spoken.counted(triage.units().size(), "unit") + ": " + String.join(", ", counts) + ".");
    for (Triage.Verdict verdict :
        List.of(Triage.Verdict.DO_NOT_USE, Triage.Verdict.MEASURE_AGAIN, Triage.Verdict.USE)) {
      List<Triage.Assessment> all = triage.of(verdict);
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
  private void print(List<Triage.Assessment> all) {
    Map<String, List<String>> ids = new LinkedHashMap<>();
    for (Triage.Assessment one : all) {
      ids.computeIfAbsent(text(one), t -> new ArrayList<>()).add(one.unit().id());
    }
    ids.forEach(
        (text, units) ->
            output.line(
                "  "
                    + String.join(" ", units)
                    + (units.size() > 1 && !text.isEmpty() ? ", each" : "")
                    + text));
  }

  private static String text(Triage.Assessment one) {
    List<String> parts =
        new ArrayList<>(one.reasons().stream().map(Triage.Reason::sentence).toList());
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

  private static Facts facts(Triage.Assessment one) {
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
