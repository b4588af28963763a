package org.cellherd.analysis.flow;

import java.util.List;
import org.cellherd.pack.Chemistry;

/**
 * What published tables allow a charge at a range of cell temperatures. The cell maker's own sheet
 * rules; these say what is usual where it is not at hand.
 *
 * <p>Nickel-rich cells of the 4.2 V class: the zones of JEITA as a semiconductor maker's note gives
 * them: below 10 degC half C or 4.1 V, from 45 degC 4.15 V, from 50 to 60 degC 4.1 V. LFP: the
 * faster rates of a published 48 V 50 Ah module manual. Others: no table is known.
 *
 * @param upToTenthC highest temperature that belongs to it, 0.1 degC
 * @param mostRate times the rated capacity an hour; 0 is no charge at all
 * @param mostCellMv highest cell voltage; {@link #ANY_MV} is that of the plan
 * @param isEither true where keeping one of the two is enough
 * @param word {@code none reduced normal reduced_voltage}
 */
public record ChargeZone(
    int upToTenthC, double mostRate, int mostCellMv, boolean isEither, String word) {
  /** No voltage of its own. */
  public static final int ANY_MV = Integer.MAX_VALUE;

  private static final double ANY_RATE = Double.MAX_VALUE;

  private static final List<ChargeZone> NICKEL_RICH =
      List.of(
          none(-1),
          new ChargeZone(99, 0.5, 4_100, true, "reduced"),
          new ChargeZone(450, ANY_RATE, ANY_MV, false, "normal"),
          new ChargeZone(500, ANY_RATE, 4_150, false, "reduced_voltage"),
          new ChargeZone(600, ANY_RATE, 4_100, false, "reduced_voltage"),
          none(Integer.MAX_VALUE));

  private static final List<ChargeZone> LFP =
      List.of(
          none(-1),
          new ChargeZone(49, 0.1, ANY_MV, false, "reduced"),
          new ChargeZone(99, 0.2, ANY_MV, false, "reduced"),
          new ChargeZone(249, 1, ANY_MV, false, "normal"),
          new ChargeZone(500, 0.75, ANY_MV, false, "normal"),
          new ChargeZone(600, 0.1, ANY_MV, false, "reduced"),
          none(Integer.MAX_VALUE));

  private static final ChargeZone UNKNOWN =
      new ChargeZone(Integer.MAX_VALUE, ANY_RATE, ANY_MV, false, "normal");

  private static ChargeZone none(int upToTenthC) {
    return new ChargeZone(upToTenthC, 0, ANY_MV, false, "none");
  }

  /** The zone of a temperature in 0.1 degC. */
  public static ChargeZone at(Chemistry chemistry, int tenthC) {
    List<ChargeZone> zones =
        switch (chemistry) {
          case LFP -> LFP;
          case NMC, NCA -> NICKEL_RICH;
          case LTO, SODIUM_ION -> List.of();
        };
    for (int i = 0; i < zones.size(); i++) {
      if (tenthC <= zones.get(i).upToTenthC) {
        return zones.get(i);
      }
    }
    return UNKNOWN;
  }

  /**
   * True when a charge goes beyond the zone.
   *
   * @param rate times the rated capacity an hour
   * @param highestMv highest cell, mV
   */
  public boolean isExceeded(double rate, double highestMv) {
    boolean isFast = rate > mostRate;
    boolean isHigh = mostCellMv != ANY_MV && highestMv > mostCellMv;
    return isEither ? isFast && isHigh : isFast || isHigh;
  }
}
