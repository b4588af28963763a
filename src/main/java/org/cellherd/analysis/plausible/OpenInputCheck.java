package org.cellherd.analysis.plausible;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;

/**
 * A cell that reads below 1 V or above 5 V while the others are in their range: if the sum still
 * fits the pack it is the cell, else its input or sense wire (common practice, no source).
 */
final class OpenInputCheck implements Check {
  private static final int LEAST = 10_000;
  private static final int MOST = 50_000;
  private static final long DELAY_MS = 5_000;

  private final SumCheck sum;
  private final Since out = new Since(DELAY_MS);
  private int cell;

  OpenInputCheck(SumCheck sum) {
    this.sum = sum;
  }

  @Override
  public void accept(Moment m, Reading reading) {
    boolean isLow = m.present() > 0 && m.lowest() < LEAST;
    boolean isHigh = m.present() > 0 && m.highest() > MOST;
    boolean othersFine = m.present() > 0 && m.median() >= LEAST && m.median() <= MOST;
    if (isLow || isHigh) {
      cell = isHigh ? m.highestCell() : m.lowestCell();
    }
    out.set((isLow || isHigh) && othersFine, m.upMs());
  }

  @Override
  public Optional<Suspicion> suspicion(Moment m) {
    if (!out.holds()) {
      return Optional.empty();
    }
    boolean isCell = sum.agrees() && m.cell(cell) < LEAST && m.cell(cell) > 0;
    return Optional.of(
        new Suspicion(
            isCell ? Suspicion.Kind.DEAD_CELL : Suspicion.Kind.OPEN_INPUT,
            List.of(cell),
            m.wallMs(out.fromMs()),
            isCell
                ? "cell " + cell + " reads almost nothing, and the pack's voltage agrees"
                : "the input or sense wire of cell " + cell + " is open",
            "cell " + cell + " with a meter, then its sense wires",
            Facts.of().put("cell", cell).put("reads_mv", m.cell(cell) / 10.0, 1).build()));
  }

  @Override
  public void state(State io) {
    out.state(io);
    cell = io.number(cell);
  }
}
