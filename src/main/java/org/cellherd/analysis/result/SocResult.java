package org.cellherd.analysis.result;

import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Result;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Worded;

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

  /** What the count last started from. */
  public enum Anchor implements Worded {
    /** Nothing but the ends of the scale. */
    NONE(0, 50, 100, "nothing yet: the log has seen neither a full nor an empty pack"),
    /** Charge voltage with the tail current, every cell at the upper knee. */
    FULL(98.5, 100, 100, "the full charge"),
    /** Charge voltage with the tail current, some cell still below the knee. */
    NEARLY_FULL(97, 99, 100, "a charge to its end that left some cells short of full"),
    /** The charger stopped by its timer before the tail current. */
    ABSORBED(97, 98.5, 100, "a charge that the charger ended by its timer"),
    /** The first full cell ended the charge. */
    FIRST_CELL(90, 98, 100, "a charge that the first full cell ended"),
    /** The log began with a pack at rest at the voltage of a full one. */
    FIRST_SIGHT(95, 98.5, 100, "the first readings, which were those of a full pack"),
    /** The lowest cell came to its lower end under little current. */
    EMPTY(0, 0, 2, "the last time the first cell was empty"),
    /** A resting voltage outside the plateau. */
    REST(0, 50, 100, "the voltage at rest");

    private final Interval pct;
    private final String text;

    Anchor(double low, double mid, double high, String text) {
      this.pct = new Interval(low, mid, high);
      this.text = text;
    }

    /** What the anchor says by itself, percent. */
    public Interval pct() {
      return pct;
    }

    /** True for an empty or a full pack that a charge or discharge has come to. */
    public boolean isEnd() {
      return switch (this) {
        case FULL, NEARLY_FULL, ABSORBED, FIRST_CELL, EMPTY -> true;
        case NONE, FIRST_SIGHT, REST -> false;
      };
    }

    /** True for a full pack, however the charge ended. */
    public boolean isTop() {
      return switch (this) {
        case FULL, NEARLY_FULL, ABSORBED, FIRST_CELL, FIRST_SIGHT -> true;
        case NONE, EMPTY, REST -> false;
      };
    }

    /** For people: "the full charge". */
    public String text() {
      return text;
    }

    @Override
    public String word() {
      return Underscored.word(this);
    }
  }
}
