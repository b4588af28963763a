package org.cellherd.analysis.result;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.pack.Facts;

/**
 * A long rest and the drift of each cell in it.
 *
 * @param fromMs begin, ms UTC
 * @param toMs end, ms UTC
 * @param hours its length
 * @param settled true when the cells no longer relaxed
 * @param measuredHours what was left of it after relaxation
 * @param medianMv the median cell; NaN when not known
 * @param cells each cell, first cell first
 * @param suspects cells that fall behind beyond the noise
 * @param reason what this rest cannot show
 */
public record RestResult(
    @Time long fromMs,
    @Time long toMs,
    @Digits(1) double hours,
    boolean settled,
    @Digits(1) double measuredHours,
    @Digits(1) double medianMv,
    List<Cell> cells,
    List<Integer> suspects,
    Optional<String> reason)
    implements Result {

  /**
   * One cell.
   *
   * @param cell from 1
   * @param lastMv at the end
   * @param driftMvPerDay against the median
   * @param seMvPerDay standard error of the drift
   * @param leakMa what it loses more than the median cell; empty where voltage does not tell
   */
  public record Cell(
      int cell,
      @Digits(1) double lastMv,
      @Digits(3) double driftMvPerDay,
      @Digits(3) double seMvPerDay,
      @Digits(value = 2, style = Digits.Style.ENDS) Optional<Interval> leakMa) {}

  public RestResult {
    cells = List.copyOf(cells);
    suspects = List.copyOf(suspects);
  }

  /** A cell, from 1; empty where the rest does not tell of it. */
  public Optional<Cell> cell(int number) {
    return cells.stream().filter(c -> c.cell() == number).findFirst();
  }

  @Override
  public FindingName name() {
    return FindingName.REST;
  }

  @Override
  public Facts facts() {
    return ResultForm.facts(this);
  }
}
