package org.cellherd.protocol.bringup;

import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import org.cellherd.protocol.bringup.Known.Quantity;

/** Chooses the coding under which a capture's numbers most likely are cells. */
final class CellChoice {
  private final List<Stretch> kinds;
  private final Meter meter;

  private CellChoice(List<Stretch> kinds, Meter meter) {
    this.kinds = kinds;
    this.meter = meter;
  }

  /**
   * The coding under which most cells are found, and which gives what a meter told of them; empty
   * when there is none. Unusual units and offsets are tried where a meter told what must come out.
   */
  static Optional<CellRows> find(List<Stretch> kinds, Meter meter) {
    return new CellChoice(kinds, meter).find();
  }

  private Optional<CellRows> find() {
    List<Known> told = meter.all(Quantity.CELL);
    Optional<CellRows> usual = best(CellForm.USUAL, r -> r.agrees(told, meter));
    Optional<CellRows> agreeing = usual.filter(this::hasSum).or(() -> coarse(told, usual));
    if (agreeing.isPresent() || told.isEmpty()) {
      return agreeing;
    }
    return best(CellForm.UNUSUAL, r -> r.agrees(told, meter))
        .or(() -> best(CellForm.USUAL, r -> true));
  }

  /**
   * Cells of ten bits, of which a column tells the sum; else the usual ones, of which none does.
   */
  private Optional<CellRows> coarse(List<Known> told, Optional<CellRows> usual) {
    return best(
            CellForm.COARSE,
            r -> usual.filter(u -> !isNear(r, u)).isEmpty() && r.agrees(told, meter) && hasSum(r))
        .or(() -> usual);
  }

  private Optional<CellRows> best(List<CellForm> forms, Predicate<CellRows> isPossible) {
    CellRows best = null;
    for (CellForm form : forms) {
      CellRows rows = new CellRows(kinds, form);
      boolean isFound = rows.count() > 0 && isPossible.test(rows);
      if (isFound && (best == null || isBetter(rows, best))) {
        best = rows;
      }
    }
    return Optional.ofNullable(best);
  }

  /** Read across its bytes a row shows less than half of its numbers. */
  private static boolean isNear(CellRows less, CellRows more) {
    return less.explained() * 2 >= more.explained();
  }

  /**
   * More values, unless only the fewer ones have a column that tells their sum: temperatures in 0.1
   * K lie as cells in mV do.
   */
  private boolean isBetter(CellRows rows, CellRows best) {
    if (rows.explained() != best.explained()) {
      boolean isMore = rows.explained() > best.explained();
      CellRows more = isMore ? rows : best;
      CellRows less = isMore ? best : rows;
      return isMore != (isNear(less, more) && hasSum(less) && !hasSum(more));
    }
    double own = rows.together();
    double others = best.together();
    return CellMotion.isSurer(own, others)
        || (!CellMotion.isSurer(others, own) && rows.span() * 2 < best.span());
  }

  /** True when some column follows the sum of the cells: what tells their unit. */
  private boolean hasSum(CellRows cells) {
    for (int i = 0; i < kinds.size(); i++) {
      int rank = i;
      Taken taken = new Taken();
      cells.rows().stream().filter(r -> r.kind() == rank).forEach(r -> taken.add(cells.guess(r)));
      if (new PackVoltage(kinds.get(i), cells.sumsAt(kinds.get(i)), meter)
          .bySum(taken)
          .isPresent()) {
        return true;
      }
    }
    return false;
  }
}
