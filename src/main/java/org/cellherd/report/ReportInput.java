package org.cellherd.report;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import org.cellherd.alert.Priority;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.pack.Channel;
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
    ReportEvidence evidence,
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
}
