package org.cellherd.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.regex.Pattern;
import org.cellherd.alert.Priority;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.EnergyResult;
import org.cellherd.pack.Spoken;
import org.cellherd.report.plot.PlotFindings;

/** A report in two sentences: what the pack showed, and what was wrong. */
final class Verdict {

  /** What matters first. */
  private static final List<FindingName> ORDER =
      List.of(
          FindingName.CAPACITY,
          FindingName.BALANCE,
          FindingName.FULL_CHARGE,
          FindingName.REST,
          FindingName.AGEING,
          FindingName.RESISTANCE,
          FindingName.SOC,
          FindingName.ENERGY,
          FindingName.PLAUSIBILITY);

  /** Characters that are read at a glance. */
  private static final int LONGEST = 220;

  private static final Pattern END_OF_SENTENCE = Pattern.compile("(?<=\\.) (?=\\p{Lu})");

  private final ReportInput input;

  Verdict(ReportInput input) {
    this.input = input;
  }

  /** What was beyond a limit or critical first: nothing calm stands before it. */
  List<String> sentences() {
    List<String> sentences = new ArrayList<>(new BeyondLimits(input).sentences());
    if (isBad()) {
      sentences.add(wrong());
      sentences.add(shown());
    } else {
      sentences.add(shown());
      sentences.add(wrong());
    }
    return sentences;
  }

  /** True where a cell was beyond a limit or an alert was critical. */
  boolean isBad() {
    return !new BeyondLimits(input).sentences().isEmpty()
        || input.evidence().alerts().stream().anyMatch(a -> a.worst() == Priority.CRITICAL);
  }

  private String shown() {
    if (input.tracks().heard().isEmpty()) {
      return "The log holds no readings of this time.";
    }
    if (ReportInput.isOfManyDays(input.tracks().fromMs(), input.tracks().toMs())) {
      Optional<String> energy = energy();
      if (energy.isPresent()) {
        return worse().map(worst -> worst + " ").orElse("") + energy.get();
      }
    }
    return newest()
        .map(finding -> opening(finding.sentence()))
        .orElse("The readings of this time led to no finding.");
  }

  /** What gets worse; what only stands apart where no trend is measured. */
  private Optional<String> worse() {
    Optional<String> trend = WorstTrend.of(input.evidence().findings());
    return trend.filter(said -> !said.equals(WorstTrend.NOTHING)).isPresent()
        ? trend
        : WorstTrend.apart(input.tracks(), input.band().spreadMv()).or(() -> trend);
  }

  /** What is said first of a finding; the rest stands under its heading. */
  private static String opening(String text) {
    StringBuilder opening = new StringBuilder();
    for (String sentence : END_OF_SENTENCE.split(text)) {
      if (!opening.isEmpty() && opening.length() + sentence.length() > LONGEST) {
        break;
      }
      opening.append(opening.isEmpty() ? "" : " ").append(sentence);
    }
    return opening.toString();
  }

  /** What many days come to. */
  private Optional<String> energy() {
    List<PlotFindings.Day> days = PlotFindings.of(input.evidence().findings()).days();
    if (days.size() < 2) {
      return Optional.empty();
    }
    long partly = days.stream().filter(PlotFindings.Day::isPartlyHeard).count();
    List<Finding> tops = of(FindingName.FULL_CHARGE);
    String full =
        tops.isEmpty()
            ? "no full charge was seen"
            : (tops.size() == 1 ? "one full charge" : tops.size() + " full charges")
                + ", the last on "
                + input.made().minute(tops.get(tops.size() - 1).toMs());
    return Optional.of(
        String.format(
            Locale.ROOT,
            "On %s%s %s went in and %s came out; %s.",
            Spoken.counted(days.size(), "day"),
            partly == 0 ? "" : String.format(Locale.ROOT, " (%d of them heard in part)", partly),
            EnergyResult.together(days.stream().map(PlotFindings.Day::chargedWh)),
            EnergyResult.together(days.stream().map(PlotFindings.Day::dischargedWh)),
            full));
  }

  private List<Finding> of(FindingName name) {
    return input.evidence().findings().stream().filter(f -> f.name() == name).toList();
  }

  private Optional<Finding> newest() {
    for (FindingName name : ORDER) {
      Optional<Finding> newest =
          input.evidence().findings().stream()
              .filter(finding -> finding.name() == name)
              .max(Comparator.comparingLong(Finding::toMs));
      if (newest.isPresent()) {
        return newest;
      }
    }
    return Optional.empty();
  }

  /** How much of the time the verdict rests on. */
  String heard() {
    return String.format(
        Locale.ROOT, "Coverage %.1f %% of the time.", new Coverage(input).percent());
  }

  private String wrong() {
    List<AlertSpan> alerts = input.evidence().alerts();
    if (alerts.isEmpty()) {
      return input.evidence().noAlert();
    }
    AlertSpan worst =
        alerts.stream()
            .min(
                Comparator.comparing(AlertSpan::worst)
                    .thenComparing(span -> span.alert().key().rule())
                    .thenComparing(Comparator.comparingLong(AlertSpan::lastedMs).reversed()))
            .orElse(alerts.get(0));
    String text = sentence(worst.text(input.made().zone()));
    return counts(alerts)
        + ", the worst on "
        + input.made().minute(worst.fromMs())
        + (worst.toMs().isEmpty() ? " and active at the end: " : ": ")
        + text;
  }

  private static String sentence(String text) {
    return text.endsWith(".") ? text : text + ".";
  }

  private static String counts(List<AlertSpan> alerts) {
    List<String> parts = new ArrayList<>();
    for (Priority priority : Priority.values()) {
      long count = alerts.stream().filter(span -> span.worst() == priority).count();
      if (count > 0) {
        parts.add(count + " " + priority.word() + (count > 1 ? plural(priority) : ""));
      }
    }
    return alerts.size() == 1
        ? "One alert (" + worstOf(alerts) + ")"
        : Spoken.counted(alerts.size(), "alert") + " (" + String.join(", ", parts) + ")";
  }

  private static String plural(Priority priority) {
    return priority == Priority.CRITICAL ? "" : "s";
  }

  private static String worstOf(List<AlertSpan> alerts) {
    return alerts.get(0).worst().word();
  }
}
