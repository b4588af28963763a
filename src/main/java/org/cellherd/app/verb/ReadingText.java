package org.cellherd.app.verb;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.Dialogue;

/** One reading as a person would want it. */
final class ReadingText {

  private static final int BAR = 30;

  /** A bar of full length is a cell at least so far away, as in the strip of the page, 0.1 mV. */
  private static final int LEAST_TENTH_MV = 200;

  private final Optional<PackPlan> plan;

  ReadingText(Optional<PackPlan> plan) {
    this.plan = plan;
  }

  String of(Reading reading, List<Dialogue.Extra> extras, List<Dialogue.Doubt> doubts) {
    StringBuilder text = new StringBuilder();
    head(text, reading);
    cells(text, reading);
    temperatures(text, reading);
    board(text, reading);
    extras.forEach(
        e -> text.append("  ").append(e.name()).append(": ").append(e.text()).append('\n'));
    doubts.forEach(
        d ->
            text.append(d.isKept() ? "  doubtful: " : "  left out: ")
                .append(d.name())
                .append(' ')
                .append(d.text())
                .append('\n'));
    return text.toString();
  }

  private void head(StringBuilder text, Reading reading) {
    plan.ifPresent(p -> text.append(p.name()).append(": "));
    OptionalInt mv = reading.packMv();
    if (mv.isPresent()) {
      text.append(format("%.3f V, ", mv.getAsInt() / 1000.0));
    }
    OptionalInt ma = reading.currentMa();
    if (ma.isEmpty()) {
      text.append("no current reported");
    } else if (ma.getAsInt() == 0) {
      text.append("no current (or less than the board shows)");
    } else {
      // Said in words, so that a wrong sign is seen by whoever stands beside the charger.
      text.append(ma.getAsInt() > 0 ? "charging" : "discharging");
      text.append(format(" at %.3f A", Math.abs(ma.getAsInt()) / 1000.0));
    }
    text.append('\n');
  }

  private void cells(StringBuilder text, Reading reading) {
    CellVoltages cells = reading.cells();
    OptionalInt median = cells.medianTenthMv();
    if (median.isEmpty()) {
      text.append("  no cell voltages\n");
      return;
    }
    int widest = LEAST_TENTH_MV;
    // A board of whole millivolts is not given a digit that it does not send.
    int digits = 3;
    for (int cell = 1; cell <= cells.count(); cell++) {
      if (cells.has(cell)) {
        widest = Math.max(widest, Math.abs(cells.tenthMv(cell) - median.getAsInt()));
        digits = cells.tenthMv(cell) % 10 == 0 ? digits : 4;
      }
    }
    for (int cell = 1; cell <= cells.count(); cell++) {
      cell(text, reading, cell, digits, median.getAsInt(), widest);
    }
    OptionalInt spread = cells.spreadTenthMv();
    if (spread.isPresent()) {
      text.append(format("  spread %.1f mV", spread.getAsInt() / 10.0));
      text.append(", highest cell ").append(cells.highestCell());
      text.append(", lowest cell ").append(cells.lowestCell()).append('\n');
    }
    if (plan.isPresent() && plan.get().series() != cells.count()) {
      text.append(
          format(
              "  cells in series: the plan has %d, the board reports %d%n",
              plan.get().series(), cells.count()));
    }
  }

  /** A line of the herd strip: the cell's distance from the median, left or right of the middle. */
  private static void cell(
      StringBuilder text, Reading reading, int cell, int digits, int medianTenthMv, int widest) {
    CellVoltages cells = reading.cells();
    if (!cells.has(cell)) {
      text.append(format("  cell %2d  no reading%n", cell));
      return;
    }
    int away = cells.tenthMv(cell) - medianTenthMv;
    int marks = Math.round((float) Math.abs(away) * (BAR / 2) / widest);
    String left = away < 0 ? " ".repeat(BAR / 2 - marks) + "-".repeat(marks) : " ".repeat(BAR / 2);
    String right = away > 0 ? "+".repeat(marks) : "";
    boolean bleeds =
        reading.bleedMask().isPresent() && (reading.bleedMask().getAsLong() >> (cell - 1) & 1) == 1;
    text.append(
        format(
            "  cell %2d  %s V %s mV  %s|%s%s%n",
            cell,
            Spoken.number(cells.tenthMv(cell) / 10_000.0, digits),
            format(away == 0 ? "%7.1f" : "%+7.1f", away / 10.0),
            left,
            right,
            bleeds ? "  bleeding" : ""));
  }

  private void temperatures(StringBuilder text, Reading reading) {
    for (int sensor = 1; sensor <= reading.temperatures().count(); sensor++) {
      int number = sensor;
      String role = plan.map(p -> " (" + p.role(number).word() + ")").orElse("");
      text.append("  sensor ").append(sensor).append(role).append(": ");
      text.append(
          reading.temperatures().has(sensor)
              ? Spoken.celsius(reading.temperatures().tenthC(sensor) / 10.0)
                  + System.lineSeparator()
              : "no reading\n");
    }
  }

  private static void board(StringBuilder text, Reading reading) {
    if (reading.socTenthPct().isPresent()) {
      text.append(
          format("  the board reports %.1f %% charge%n", reading.socTenthPct().getAsInt() / 10.0));
    }
    toggle(text, "charge switch", reading.chargeSwitch());
    toggle(text, "discharge switch", reading.dischargeSwitch());
    if (reading.boardAlarms().isPresent() && reading.boardAlarms().getAsLong() != 0) {
      text.append(format("  board's own alarm bits 0x%x%n", reading.boardAlarms().getAsLong()));
    }
  }

  private static void toggle(StringBuilder text, String name, OptionalInt state) {
    if (state.isPresent()) {
      text.append(format("  %s %s%n", name, state.getAsInt() == 1 ? "closed" : "open"));
    }
  }

  private static String format(String pattern, Object... values) {
    return String.format(Locale.ROOT, pattern, values);
  }
}
