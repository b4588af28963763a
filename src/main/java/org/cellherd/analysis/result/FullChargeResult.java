package org.cellherd.analysis.result;

import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Worded;

/**
 * What one charge that came to the top has shown.
 *
 * @param atMs its top, ms UTC
 * @param end how it ended
 * @param state where the balance stood
 * @param chargedAh what went in; NaN when not known
 * @param hours it took
 * @param spreadMv highest less lowest cell at the top
 * @param highestCell there
 * @param highestMv its voltage
 * @param trips stops of the charge
 * @param lead Ah by which each cell was ahead of the last one
 * @param leadGrowth how the leads grow from one full charge to the next
 * @param apart who stood apart before it was bled
 * @param balancedAtMs when the pack was first balanced in it, ms UTC
 */
public record FullChargeResult(
    @Time long atMs,
    ChargeTermination end,
    BalanceView.State state,
    @Digits(3) double chargedAh,
    @Digits(2) double hours,
    @Digits(1) double spreadMv,
    int highestCell,
    @Digits(1) double highestMv,
    int trips,
    List<CellLead> lead,
    List<CellGrowth> leadGrowth,
    Optional<Apart> apart,
    @Time OptionalLong balancedAtMs)
    implements Result {

  /** By how many Ah a cell was ahead of the last one. */
  public record CellLead(int cell, @Digits(value = 3, style = Digits.Style.IN_FRONT) Interval ah) {}

  /** The cell that stood apart. */
  public record Apart(
      int cell, Side is, @Digits(value = DECIMALS, style = Digits.Style.IN_FRONT) Interval ah) {
    /** Decimals of Ah that are kept. */
    public static final int DECIMALS = 3;
  }

  /** On which side of the others a cell stood. */
  public enum Side implements Worded {
    AHEAD,
    BEHIND;
  }

  public FullChargeResult {
    lead = List.copyOf(lead);
    leadGrowth = List.copyOf(leadGrowth);
  }

  @Override
  public FindingName name() {
    return FindingName.FULL_CHARGE;
  }

  @Override
  public Facts facts() {
    return ResultForm.facts(this);
  }
}
