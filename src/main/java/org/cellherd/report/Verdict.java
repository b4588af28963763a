package org.cellherd.report;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.alert.Priority;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;

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

  private final ReportInput input;

  Verdict(ReportInput input) {
    this.input = input;
  }

  List<String> sentences() {
    List<String> sentences = new ArrayList<>();
    sentences.add(shown());
    sentences.add(wrong());
    return sentences;
  }

  private String shown() {
    if (input.tracks().heard().isEmpty()) {
      return "The log holds no readings of this time.";
    }
    return newest().map(Finding::sentence).orElse("The readings of this time led to no finding.");
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
        Locale.ROOT, "%.1f %% of the time was heard.", new Coverage(input).percent());
  }

  private String wrong() {
    List<AlertSpan> alerts = input.evidence().alerts();
    if (alerts.isEmpty()) {
      return "No alert was raised.";
    }
    AlertSpan worst =
        alerts.stream().min(Comparator.comparing(AlertSpan::worst)).orElse(alerts.get(0));
    return counts(alerts)
        + ", the worst on "
        + input.made().minute(worst.fromMs())
        + ": "
        + sentence(worst.alert().text());
  }

  private static String sentence(String text) {
    return text.endsWith(".") ? text : text + ".";
  }

  private static String counts(List<AlertSpan> alerts) {
    List<String> parts = new ArrayList<>();
    for (Priority priority : Priority.values()) {
      long count = alerts.stream().filter(span -> span.worst() == priority).count();
      if (count > 0) {
        parts.add(count + " " + priority.word());
      }
    }
    return alerts.size() == 1
        ? "One alert (" + worstOf(alerts) + ")"
        : alerts.size() + " alerts (" + String.join(", ", parts) + ")";
  }

  private static String worstOf(List<AlertSpan> alerts) {
    return alerts.get(0).worst().word();
  }
}
