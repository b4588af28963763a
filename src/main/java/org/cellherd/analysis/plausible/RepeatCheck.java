package org.cellherd.analysis.plausible;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Reading;

/**
 * One cell's number that stays while the others move on, and two neighbours that always read alike:
 * a stuck channel, or one cell read twice. Real cells carry their own noise in the last digit.
 */
final class RepeatCheck implements Check {
  private static final int ALIKE_CHANGES = 100;
  private static final int OTHER_CHANGES = 200;
  private static final int MOVED_TENTH_MV = 150;
  private static final long LEAST_STUCK_MS = 10 * 60_000L;

  private final int cells;
  private final int[] alike;
  private final long[] changeUpMs;
  private final int[] medianThen;
  private final long[] changesThen;
  private long medianChanges;

  RepeatCheck(int cells) {
    this.cells = cells;
    alike = new int[cells];
    changeUpMs = new long[cells];
    medianThen = new int[cells];
    changesThen = new long[cells];
  }

  @Override
  public void accept(Moment m, Reading reading) {
    if (!m.isComplete() || cells < 3) {
      return;
    }
    int moved = 0;
    for (int i = 0; i < cells; i++) {
      int now = m.cell(i + 1);
      boolean isChanged = now != m.cellBefore(i + 1);
      if (isChanged) {
        moved++;
        changeUpMs[i] = m.upMs();
        medianThen[i] = m.median();
        changesThen[i] = medianChanges;
      }
      if (i > 0) {
        boolean isAlike = now == m.cell(i);
        alike[i] = !isAlike ? 0 : isChanged ? Math.min(ALIKE_CHANGES, alike[i] + 1) : alike[i];
      }
    }
    medianChanges += moved > cells / 2 ? 1 : 0;
  }

  /**
   * The others' way tells only of a cell that stood among them, and only while current drives all
   * of them along the plateau: one that is behind stays there while they are in the knee, and in
   * the knee cells rise and fall against each other. There only a cell's missing noise tells.
   */
  private boolean isStuck(Moment m, int i) {
    boolean isDriven = m.phase() == Phase.CHARGE_PLATEAU || m.phase() == Phase.DISCHARGE;
    boolean isAmongThem = Math.abs(m.cell(i + 1) - medianThen[i]) < MOVED_TENTH_MV;
    boolean isLeft = Math.abs(m.median() - medianThen[i]) >= MOVED_TENTH_MV;
    return m.upMs() - changeUpMs[i] >= LEAST_STUCK_MS
        && ((isDriven && isAmongThem && isLeft) || medianChanges - changesThen[i] >= OTHER_CHANGES);
  }

  @Override
  public Optional<Suspicion> suspicion(Moment m) {
    for (int i = 0; m.isComplete() && i < cells; i++) {
      if (isStuck(m, i)) {
        return Optional.of(stuck(m, i));
      }
      if (i > 0 && alike[i] >= ALIKE_CHANGES) {
        return Optional.of(twice(m, i));
      }
    }
    return Optional.empty();
  }

  private Suspicion stuck(Moment m, int i) {
    return new Suspicion(
        Suspicion.Kind.STUCK_CELL,
        List.of(i + 1),
        m.wallMs(changeUpMs[i]),
        "the board's channel of cell " + (i + 1) + " is stuck while the others move",
        "cell " + (i + 1) + " with a meter, then restart the board",
        Facts.of().put("same_min", (m.upMs() - changeUpMs[i]) / 60_000).build());
  }

  private static Suspicion twice(Moment m, int i) {
    return new Suspicion(
        Suspicion.Kind.DUPLICATE_CHANNEL,
        List.of(i, i + 1),
        m.wallMs(m.upMs()),
        "cells " + i + " and " + (i + 1) + " always read alike: one cell is read twice",
        "both cells with a meter, then the order of cells in the board's description",
        Facts.of().put("changes_alike", ALIKE_CHANGES).build());
  }

  @Override
  public void state(State io) {
    medianChanges = io.number(medianChanges);
    io.each(alike);
    io.each(changeUpMs);
    io.each(medianThen);
    io.each(changesThen);
  }
}
