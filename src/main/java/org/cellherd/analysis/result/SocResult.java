package org.cellherd.analysis.result;

import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.pack.Facts;

/**
 * State of charge.
 *
 * @param socPct percent
 * @param anchor what the count started from
 * @param anchorAtMs when, ms UTC
 * @param netAh counted since then
 * @param capacityAh that a full pack is taken to hold; NaN when not told
 * @param voltageTells false on the plateau
 * @param deadZoneMa current below which the board's print is not believed
 * @param coulombicEfficiency charge out over charge in from full to full; NaN when not known
 * @param energyEfficiency the same for energy
 * @param driftMa what is left over from full to full, as a current
 * @param correctedByPct by how much the latest anchor corrected the count; NaN before any
 */
public record SocResult(
    @Digits(value = 1, style = Digits.Style.WITH_MID) Interval socPct,
    Anchor anchor,
    @Time long anchorAtMs,
    @Digits(3) double netAh,
    @Digits(2) double capacityAh,
    boolean voltageTells,
    int deadZoneMa,
    @Digits(4) double coulombicEfficiency,
    @Digits(4) double energyEfficiency,
    @Digits(1) double driftMa,
    @Digits(1) double correctedByPct)
    implements Result {

  @Override
  public FindingName name() {
    return FindingName.SOC;
  }

  @Override
  public Facts facts() {
    return ResultForm.facts(this);
  }
}
