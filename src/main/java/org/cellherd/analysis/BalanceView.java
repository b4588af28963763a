package org.cellherd.analysis;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import org.cellherd.pack.Worded;

/**
 * Where the balance of a pack stands.
 *
 * @param state the verdict
 * @param charge what the charge is doing
 * @param spreadMv highest minus lowest cell of the latest reading
 * @param leads Ah by which each cell is ahead of the last one; empty while that is not known
 * @param bleedA bleed current of one cell, seen or configured
 * @param remainingAh Ah still to bleed
 * @param etaHours hours to balanced
 * @param sinceMs since when this state holds
 * @param reasons evidence in plain words
 * @param lastTop verdict at the end of the last full charge
 * @param levelled what the latest charge did to the balance
 */
public record BalanceView(
    State state,
    Charge charge,
    OptionalDouble spreadMv,
    List<Lead> leads,
    OptionalDouble bleedA,
    Optional<Interval> remainingAh,
    Optional<Interval> etaHours,
    OptionalLong sinceMs,
    List<String> reasons,
    Optional<LastTop> lastTop,
    Levelled levelled) {

  /** The verdict. */
  public enum State implements Worded {
    UNKNOWN,
    NOT_AT_TOP,
    CONVERGING,
    STALLED,
    DIVERGING,
    BALANCED;

    @Override
    public String word() {
      return name().toLowerCase(Locale.ROOT);
    }
  }

  /** What the charge is doing. */
  public enum Charge implements Worded {
    FLOWING,
    HELD,
    BOUNCING,
    FLOAT,
    ABSENT;
  }

  /** A cell's lead over the last cell. */
  public record Lead(int cell, Interval ah) {}

  /** What a cell with its straps has beyond the median one, ohm. */
  public record Joint(int cell, double ohm) {}

  /** The verdict at the end of the last full charge. */
  public record LastTop(State state, long atMs, Optional<Apart> leftApart) {}

  /**
   * The cell that stood apart before it was bled.
   *
   * @param cell from 1
   * @param isBehind true where it lacked charge, false where it was ahead
   * @param ah by how much
   */
  public record Apart(int cell, boolean isBehind, Interval ah) {}

  /**
   * What the latest charge did to the balance.
   *
   * @param apart who stood apart, if any did for sure
   * @param balancedAtMs when the pack was first balanced in it, ms UTC
   */
  public record Levelled(Optional<Apart> apart, OptionalLong balancedAtMs) {
    public static final Levelled NONE = new Levelled(Optional.empty(), OptionalLong.empty());
  }

  public static final BalanceView UNKNOWN =
      new BalanceView(
          State.UNKNOWN,
          Charge.ABSENT,
          OptionalDouble.empty(),
          List.of(),
          OptionalDouble.empty(),
          Optional.empty(),
          Optional.empty(),
          OptionalLong.empty(),
          List.of(),
          Optional.empty(),
          Levelled.NONE);
}
