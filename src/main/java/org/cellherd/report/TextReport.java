package org.cellherd.report;

import java.time.ZoneId;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.Cautions;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PlainText;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.report.plot.Track;
import org.cellherd.report.plot.Tracks;

/** A report as plain text, for a terminal or a mail. */
public final class TextReport {

  private static final int INDENT = 4;

  private final ReportInput input;
  private final StringBuilder out = new StringBuilder(4_096);

  private TextReport(ReportInput input) {
    this.input = input;
  }

  /** The text; ends with a line feed. */
  public static String of(ReportInput input) {
    return new TextReport(input).write();
  }

  private String write() {
    line(Titles.of(input));
    line("");
    new Verdict(input).sentences().forEach(this::line);
    cells();
    alerts();
    findings();
    remarks();
    gaps();
    line("");
    Cautions.LIST.forEach(this::line);
    Made made = input.made();
    line(
        String.format(
            "Made %s (%s) by %s",
            made.minute(made.atMs()), SpokenTime.clockOf(made.zone()), made.program()));
    return out.toString();
  }

  private void cells() {
    Tracks tracks = input.tracks();
    int count = tracks.count(Channel.Kind.CELL);
    if (count == 0) {
      return;
    }
    head("Cells");
    TextTable table =
        new TextTable(0)
            .row(
                "cell",
                "lowest V",
                "mean V",
                "highest V",
                "last from median mV",
                input.plan().cells().isEmpty() ? "" : "units");
    for (int cell = 1; cell <= count; cell++) {
      int number = cell;
      tracks.of(Channel.cell(cell)).ifPresent(track -> cell(table, number, track));
    }
    table.lines().forEach(this::line);
  }

  private void cell(TextTable table, int cell, Track track) {
    OptionalDouble last = input.tracks().lastDeviation(cell);
    table.row(
        Integer.toString(cell),
        Spoken.number(track.lowest(), 3),
        Spoken.number(track.overallMean(), 3),
        Spoken.number(track.highest(), 3),
        last.isPresent() ? Spoken.signed(last.getAsDouble(), 1) : "-",
        input.plan().unitsOf(cell, input.tracks().toMs()));
  }

  private void alerts() {
    head("Alerts");
    List<AlertSpan> alerts = input.evidence().alerts();
    if (alerts.isEmpty()) {
      line(input.evidence().noAlert());
    }
    for (AlertSpan span : alerts) {
      String end =
          span.toMs().isPresent() ? input.made().minute(span.toMs().getAsLong()) : "active";
      line(
          span.worst().word()
              + "  "
              + input.made().minute(span.fromMs())
              + " to "
              + end
              + "  "
              + span.text(input.made().zone()));
      line("    first step: " + span.alert().firstStep());
    }
  }

  private void findings() {
    for (FindingName name : FindingsHtml.kinds(input)) {
      head(name.title());
      List<Finding> found = FindingsHtml.of(input, name);
      if (name == FindingName.ENERGY) {
        energy(found);
        continue;
      }
      if (!name.isState()) {
        List<Finding> told = FindingsHtml.newestOfEachSentence(found);
        told.subList(0, told.size() - 1).forEach(this::sentence);
      }
      Finding newest = found.get(found.size() - 1);
      sentence(newest);
      facts(new FactWords(input.made()).told(FactWords.unsaid(newest)), INDENT);
    }
  }

  private void energy(List<Finding> found) {
    EnergyTable.lines(found, FindingsHtml.energy(found, input)).forEach(this::line);
    Facts beside = EnergyTable.beside(found.get(found.size() - 1));
    facts(new FactWords(input.made()).told(beside), INDENT);
  }

  /** Energy of local days: few in sentences, many as a table with a line a day. */
  public static List<String> energyByDay(List<Finding> days, ZoneId zone) {
    return EnergyTable.lines(days, EnergyTable.byDay(days, zone));
  }

  private void sentence(Finding finding) {
    line(FindingsHtml.when(finding, input.made()) + "  " + finding.sentence());
  }

  private void facts(List<Told> facts, int indent) {
    String begin = " ".repeat(indent);
    for (Told fact : facts) {
      if (fact instanceof Told.Line single) {
        line(begin + single.name() + ": " + single.text());
        continue;
      }
      line(begin + fact.name() + ":");
      if (fact instanceof Told.Table all) {
        TextTable table = new TextTable(indent + INDENT).row(all.head().toArray(String[]::new));
        all.rows().forEach(row -> table.row(row.toArray(String[]::new)));
        table.linesWithin(TextTable.TERMINAL).forEach(this::line);
      } else if (fact instanceof Told.Parts within) {
        facts(within.parts(), indent + INDENT);
      }
    }
  }

  private void remarks() {
    if (input.evidence().remarks().isEmpty()) {
      return;
    }
    head("Notes");
    for (Remark remark : input.evidence().remarks()) {
      String by = remark.by().isEmpty() ? "" : " (" + remark.by() + ")";
      line(input.made().minute(remark.atMs()) + by + "  " + remark.text());
    }
  }

  private void gaps() {
    Coverage coverage = new Coverage(input);
    head("Heard");
    line(String.format(Locale.ROOT, "%.1f %% of the time", coverage.percent()));
    for (Tracks.Span span : coverage.told()) {
      line("no readings: " + input.made().span(span.fromMs(), span.toMs()));
    }
    if (coverage.untold() > 0) {
      line("and " + coverage.untold() + " more");
    }
  }

  private void head(String title) {
    line("");
    line(title);
    line("-".repeat(title.length()));
  }

  /** Text from outside cannot steer a terminal. */
  private void line(String text) {
    out.append(PlainText.spaced(text).stripTrailing()).append('\n');
  }
}
