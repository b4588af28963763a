package org.cellherd.report;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import org.cellherd.alert.Priority;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.discharge.TestedDischarge;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Gap;
import org.cellherd.pack.PackPlan;
import org.cellherd.report.plot.BalancedBand;
import org.cellherd.report.plot.LimitLine;
import org.cellherd.report.plot.PlotFindings;
import org.cellherd.report.plot.PlotInput;
import org.cellherd.report.plot.Tracks;

/**
 * All that a report is made from.
 *
 * @param plan the pack
 * @param tracks its readings
 * @param evidence findings, alerts, remarks and gaps of the same time
 * @param made when and where it is made
 * @param rules by which its alerts were judged, or would have been
 * @param band in which the cells of a balanced pack lie
 */
public record ReportInput(
    PackPlan plan,
    Tracks tracks,
    Evidence evidence,
    Made made,
    AlertSettings rules,
    BalancedBand band) {

  private static final long MANY_DAYS_MS = 3 * 86_400_000L;

  /** From so many days on a report is of whole days. */
  public static boolean isOfManyDays(long fromMs, long toMs) {
    return toMs - fromMs >= MANY_DAYS_MS;
  }

  /** What plots of it are made from; marks lead to the alerts and remarks of the same file. */
  public PlotInput plots() {
    return new PlotInput(
        tracks,
        made.zone(),
        marks(),
        evidence.gaps(),
        limits(),
        band,
        PlotFindings.of(evidence.findings()).with(evidence.tests()),
        sensors());
  }

  private List<LimitLine> limits() {
    List<LimitLine> limits = new ArrayList<>(LimitLine.of(plan, rules));
    limits.addAll(LimitLine.currents(plan));
    return limits;
  }

  private List<String> sensors() {
    int count = tracks.count(Channel.Kind.TEMPERATURE);
    return IntStream.rangeClosed(1, count).mapToObj(n -> plan.sensorWord(n, count)).toList();
  }

  private List<PlotInput.Mark> marks() {
    List<PlotInput.Mark> marks = new ArrayList<>();
    int number = 0;
    for (AlertSpan span : evidence.alerts()) {
      number++;
      String name = span.worst().word() + " alert " + number + ": " + span.text(made.zone());
      marks.add(
          new PlotInput.Mark(
              Math.max(tracks.fromMs(), span.fromMs()),
              Integer.toString(number),
              kind(span.worst()),
              "#alert-" + number,
              name));
    }
    number = 0;
    for (Remark remark : evidence.remarks()) {
      String symbol = letter(number++);
      marks.add(
          new PlotInput.Mark(
              remark.atMs(),
              symbol,
              PlotInput.Mark.Kind.REMARK,
              "#remark-" + symbol,
              "note " + symbol + ": " + remark.text()));
    }
    return marks;
  }

  private static PlotInput.Mark.Kind kind(Priority priority) {
    return switch (priority) {
      case CRITICAL -> PlotInput.Mark.Kind.CRITICAL;
      case WARNING -> PlotInput.Mark.Kind.WARNING;
      case NOTE -> PlotInput.Mark.Kind.NOTE;
    };
  }

  /** a to z, then aa, ab and so on. */
  static String letter(int number) {
    String last = Character.toString('a' + number % 26);
    return number < 26 ? last : letter(number / 26 - 1) + last;
  }

  /**
   * What is known about the time of a report beside its readings.
   *
   * @param findings oldest first
   * @param alerts in the order of their raising
   * @param remarks in the order of their time
   * @param gaps stretches without readings
   * @param isWatched whether alerts were judged at all: of what was imported they are not
   * @param tests capacity tests with their curves, earlier ones too; none where none ended in the
   *     time
   */
  public record Evidence(
      List<Finding> findings,
      List<AlertSpan> alerts,
      List<Remark> remarks,
      List<Gap> gaps,
      boolean isWatched,
      List<TestedDischarge> tests) {

    public static final Evidence NONE =
        new Evidence(List.of(), List.of(), List.of(), List.of(), true, List.of());

    public Evidence {
      findings = List.copyOf(findings);
      alerts = List.copyOf(alerts);
      remarks = List.copyOf(remarks);
      gaps = List.copyOf(gaps);
      tests = List.copyOf(tests);
    }

    /** What is said where no alert is. */
    String noAlert() {
      return isWatched
          ? "No alert was raised."
          : "No alert is in the log; those of imported readings are judged by \"cellherd import"
              + " --judge\" alone.";
    }

    /** How many alerts there are, in a word where there is none. */
    String countedAlerts() {
      return !alerts.isEmpty()
          ? Integer.toString(alerts.size())
          : isWatched ? "none" : "not in the log";
    }
  }
}
