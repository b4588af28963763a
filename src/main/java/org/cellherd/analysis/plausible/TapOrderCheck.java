package org.cellherd.analysis.plausible;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;

/**
 * Two taps in each other's place: the cell between them reads negative, or 0 on a board that cannot
 * print less, and both neighbours about double, while the sum stays right. Follows from the
 * differences of the tap potentials.
 */
final class TapOrderCheck implements Check {
  private static final double DOUBLE = 1.6;
  private static final long DELAY_MS = 3_000;

  private final int doubleTenthMv;
  private final int usualTenthMv;
  private final Since swapped = new Since(DELAY_MS);
  private int cell;

  TapOrderCheck(int nominalMv) {
    usualTenthMv = nominalMv * 10;
    doubleTenthMv = (int) (usualTenthMv * DOUBLE);
  }

  @Override
  public void accept(Moment m, Reading reading) {
    int found = m.present() > 2 && m.lowest() <= usualTenthMv / 5 ? find(m) : 0;
    cell = found == 0 ? cell : found;
    swapped.set(found != 0, m.upMs());
  }

  private int find(Moment m) {
    for (int i = 2; i < m.series(); i++) {
      boolean isNegative = m.cell(i) != Moment.MISSING && m.cell(i) <= usualTenthMv / 20;
      if (isNegative && m.cell(i - 1) >= doubleTenthMv && m.cell(i + 1) >= doubleTenthMv) {
        return i;
      }
    }
    return 0;
  }

  @Override
  public Optional<Suspicion> suspicion(Moment m) {
    if (!swapped.holds()) {
      return Optional.empty();
    }
    return Optional.of(
        new Suspicion(
            Suspicion.Kind.SWAPPED_TAPS,
            List.of(cell - 1, cell, cell + 1),
            m.wallMs(swapped.fromMs()),
            "the sense wires on both sides of cell " + cell + " are in each other's place",
            "the order of the sense wires at the plug, with the pack switched off",
            Facts.of().put("cell", cell).put("reads_mv", m.cell(cell) / 10.0, 1).build()));
  }

  @Override
  public void state(State io) {
    swapped.state(io);
    cell = io.number(cell);
  }
}
