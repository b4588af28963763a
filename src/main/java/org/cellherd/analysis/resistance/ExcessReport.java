package org.cellherd.analysis.resistance;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.analysis.CurrentFit;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.ResistanceResult;
import org.cellherd.analysis.result.ResistanceResult.Cell;
import org.cellherd.analysis.result.ResistanceResult.Sign;
import org.cellherd.pack.Spoken;

/** What is told where no step measures all cells well, yet one stands far above the others. */
final class ExcessReport {
  private static final String OTHERS =
      "The resistance of the other cells is not known: they were still settling after a charge, or"
          + " were near empty, or the steps were small.";

  private final Excesses excesses;
  private final double[] pulseS;

  ExcessReport(Excesses excesses, double[] pulseS) {
    this.excesses = excesses;
    this.pulseS = pulseS.clone();
  }

  /** The cells that surely stand out; empty without any. */
  Optional<Finding> finding(Moment moment) {
    List<Cell> cells = new ArrayList<>();
    StringBuilder text = new StringBuilder();
    for (int cell = 1; cell <= excesses.series(); cell++) {
      if (excesses.isSure(cell)) {
        cells.add(cell(cell));
        text.append(say(cell));
      }
    }
    if (cells.isEmpty()) {
      return Optional.empty();
    }
    long fromMs = moment.wallMs(excesses.oldest().upMs());
    long toMs = moment.wallMs(excesses.newest().upMs());
    return Optional.of(new Finding(fromMs, toMs, result(cells), text.append(OTHERS).toString()));
  }

  /** A cell, from 1, that surely stands out. */
  Cell cell(int number) {
    Excesses.Bounds best = excesses.best(number);
    double mohm = best.midMohm(number);
    double half = mohm * (best.errorShare(number) + CurrentFit.USUAL_GAIN);
    return new Cell(
        number,
        new Interval(mohm - half, mohm, mohm + half),
        pulseS[best.pulse()],
        excesses.count(),
        Double.NaN,
        best.celsius(),
        Optional.of(ResistanceResult.Suspect.STRAP_OR_CELL),
        Double.NaN);
  }

  private ResistanceResult result(List<Cell> cells) {
    Cell first = cells.get(0);
    return ResistanceResult.ofSome(
        cells, first.pulseS(), excesses.count(), first.tempC(), Sign.UNCONFIRMED);
  }

  private String say(int cell) {
    Excesses.Bounds best = excesses.best(cell);
    Interval mohm = cell(cell).mohm();
    return String.format(
        Locale.ROOT,
        "Cell %d shows %s mΩ %.0f s after a load step, at least %s times the median cell: a"
            + " joint or the cell, not told apart yet; check its straps and nuts first%s. ",
        cell,
        Spoken.between(mohm.low(), mohm.high(), 2),
        pulseS[best.pulse()],
        Spoken.low(Math.max(Excesses.RATIO, best.ratio(cell)), 1),
        cell == 1 || cell == excesses.series() ? " (and the main lead's lug)" : "");
  }
}
