package org.cellherd.analysis.result;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Worded;

/**
 * Resistance of each cell and of the links, by steps of the current.
 *
 * @param cells each cell, first cell first
 * @param medianMohm the median cell
 * @param strapMohm links and switches between the cells' sum and the terminals; NaN when not sure
 * @param cellsSumMohm all cells together
 * @param at25cMohm the median cell brought to 25 degC
 * @param pulseS so long after the step
 * @param events steps that it rests on
 * @param tempC their median temperature; NaN when not known
 * @param currentSign what the steps say of the current's sign
 * @param byTemp medians at every temperature and pulse length
 */
public record ResistanceResult(
    List<Cell> cells,
    @Digits(4) double medianMohm,
    @Digits(3) double strapMohm,
    @Digits(3) double cellsSumMohm,
    @Digits(value = 4, style = Digits.Style.ENDS) Optional<Interval> at25cMohm,
    @Digits(1) double pulseS,
    int events,
    @Digits(1) double tempC,
    Sign currentSign,
    List<AtTemperature> byTemp)
    implements Result {

  /** What the signs of the cells' resistances say of the current's. */
  public enum Sign implements Worded {
    UNCONFIRMED,
    CONFIRMED,
    WRONG;
  }

  /**
   * One cell.
   *
   * @param cell from 1
   * @param mohm its resistance
   * @param pulseS so long after the step
   * @param events steps that it rests on
   * @param madMohm their scatter, median absolute deviation
   * @param tempC their median temperature; NaN when not known
   * @param suspect why it stands out, where it does
   * @param strapMohm what a joint adds, where it is one; else NaN
   */
  public record Cell(
      int cell,
      @Digits(4) Interval mohm,
      @Digits(1) double pulseS,
      int events,
      @Digits(4) double madMohm,
      @Digits(1) double tempC,
      Optional<Suspect> suspect,
      @Digits(4) double strapMohm) {}

  /** The median cell's resistance at one temperature, so long after the step. */
  public record AtTemperature(
      @Digits(1) double tempC,
      @Digits(1) double pulseS,
      int events,
      @Digits(4) double medianMohm) {}

  public ResistanceResult {
    cells = List.copyOf(cells);
    byTemp = List.copyOf(byTemp);
  }

  /** Some cells alone, where no median is known. */
  public static ResistanceResult ofSome(
      List<Cell> cells, double pulseS, int events, double tempC, Sign currentSign) {
    return new ResistanceResult(
        cells,
        Double.NaN,
        Double.NaN,
        Double.NaN,
        Optional.empty(),
        pulseS,
        events,
        tempC,
        currentSign,
        List.of());
  }

  /** A cell, from 1; empty where it was not measured. */
  public Optional<Cell> cell(int number) {
    return cells.stream().filter(c -> c.cell() == number).findFirst();
  }

  @Override
  public FindingName name() {
    return FindingName.RESISTANCE;
  }

  @Override
  public Facts facts() {
    return ResultForm.facts(this);
  }

  /** Why a cell shows more resistance than its neighbours. */
  public enum Suspect implements Worded {
    /** A joint within the sense points of the cell: strap, busbar, lug. */
    STRAP,
    /** The cell itself. */
    CELL,
    /** Not told apart yet: steps at another temperature would tell. */
    STRAP_OR_CELL;

    @Override
    public String word() {
      return Underscored.word(this);
    }
  }
}
