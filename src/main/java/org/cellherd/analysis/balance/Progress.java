package org.cellherd.analysis.balance;

import java.util.OptionalLong;
import java.util.function.BooleanSupplier;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/**
 * Where the balance stands, minute by minute. Balanced: a spread of 10 mV at most, with the mean
 * near charge voltage and at most the tail current flowing, for 30 minutes (common practice, no
 * source), or for 10 where the charge of the cells says so too. A spread that is wider by no more
 * than the board's own error is balanced too when the lead has stood still for hours: such a board
 * bleeds no further. Falling, standing and growing are told apart by the line through the lead (or,
 * while the last cell is still on its plateau, the spread) of the last hours; a verdict needs its
 * slope to stand out of its own error. What is no better or worse needs two hours of the lead in
 * Ah: a spread in mV also moves with the current, and an end of the charge with cells apart is no
 * stall by itself. What gets worse needs more: a lead that is greater than one of this charge may
 * have been by the bounds of both, for what the knee's slope is taken for moves all leads alike
 * while the pack moves along its knee, and no scatter of the line shows that.
 */
final class Progress {
  private static final double HALF_HOURS = 2;

  /** Forgets a movement that has ended soon enough to see that it has. */
  private static final double RECENT_HALF_HOURS = 0.7;

  private static final long LOST_MS = 10 * 60_000L;

  /** One noisy minute neither begins nor ends the holding time. */
  private static final double SMOOTH_MS = 5 * 60_000.0;

  /** Two time constants of the spread's mean. */
  static final long SHORT_HOLD_MS = 10 * 60_000L;

  private static final double STALL_HOURS = 2;

  /** A lead that falls by less than this share of the bleed current is not being bled. */
  private static final double SLOW_SHARE = 0.2;

  /** Boards that do not tell bleed at least so much (common practice, no source). */
  private static final int LEAST_BLEED_MA = 30;

  /** A lead that falls more slowly is not surely bled: cells settle and leak, too. */
  static final double LEAST_FALL_A = SLOW_SHARE * LEAST_BLEED_MA / 1000;

  private final AnalysisSettings settings;
  private final double leastMeanMv;
  private final double slowAmperes;
  private final FadingLine lead = new FadingLine(HALF_HOURS);
  private final FadingLine recent = new FadingLine(RECENT_HALF_HOURS);
  private final FadingLine spread = new FadingLine(HALF_HOURS);
  private BalanceView.State state = BalanceView.State.UNKNOWN;
  private BalanceView.State topState = BalanceView.State.UNKNOWN;
  private long sinceUpMs = -1;
  private long evenSinceMs = -1;
  private long unevenSinceMs = -1;
  private boolean isBalanced;
  private double smoothMv;
  private long lastUpMs = -1;

  /** The newest line of this charge that told: its end, Ah, and its fall at the most, an hour. */
  private double seenAh;

  private double fastestFall = Double.POSITIVE_INFINITY;

  /** The least that an upper bound of the lead was since the lines began, Ah. */
  private double leastHighAh = Double.POSITIVE_INFINITY;

  Progress(PackPlan plan, AnalysisSettings settings) {
    this.settings = settings;
    this.leastMeanMv =
        Math.max(settings.kneeMv(), Math.min(plan.limits().fullMv(), plan.chargeMvPerCell() - 20));
    int bleedMa = plan.board().map(b -> b.bleedMa().orElse(LEAST_BLEED_MA)).orElse(LEAST_BLEED_MA);
    this.slowAmperes = SLOW_SHARE * Math.max(LEAST_BLEED_MA, bleedMa) / 1000;
  }

  /**
   * What one minute at the top showed.
   *
   * @param upMs its end, fold time
   * @param spreadMv highest minus lowest cell
   * @param meanMv mean cell
   * @param lead greatest lead, Ah; null when the knee does not tell
   * @param isQuiet at most the tail current flowed
   * @param isEvenByCharge asked whether no cell leads by more than a balanced one may, by the upper
   *     bounds; only once the spread has been even for a while
   * @param isBleeding a cell is known or expected to be bled
   * @param isTelling the minute is evidence of something: numbers that stand still are not
   */
  record Minute(
      long upMs,
      double spreadMv,
      double meanMv,
      @Nullable Estimate lead,
      boolean isQuiet,
      BooleanSupplier isEvenByCharge,
      boolean isBleeding,
      boolean isTelling) {}

  /** A minute at the top. */
  void atTop(Minute minute) {
    if (minute.isQuiet() && minute.isTelling()) {
      double hours = minute.upMs() / 3_600_000.0;
      spread.add(hours, minute.spreadMv());
      Estimate ah = minute.lead();
      if (ah != null) {
        lead.add(hours, ah.mid());
        recent.add(hours, ah.mid());
        leastHighAh = Math.min(leastHighAh, ah.mid() + ah.half());
        if (isTelling()) {
          seenAh = lead.atLast();
          fastestFall = lead.slope().half() - lead.slope().mid();
        }
      }
    }
    judgeEven(minute);
    topState = isBalanced ? BalanceView.State.BALANCED : moving(minute);
    to(topState, minute.upMs());
  }

  private void judgeEven(Minute minute) {
    boolean isNew = lastUpMs < 0 || minute.upMs() - lastUpMs > LOST_MS;
    double step = minute.upMs() - lastUpMs;
    smoothMv += (minute.spreadMv() - smoothMv) * (isNew ? 1 : step / (step + SMOOTH_MS));
    lastUpMs = minute.upMs();
    boolean isEven =
        minute.isQuiet() && minute.meanMv() >= leastMeanMv && smoothMv <= settings.balancedMv();
    if (isEven) {
      evenSinceMs = evenSinceMs < 0 ? minute.upMs() : evenSinceMs;
      unevenSinceMs = -1;
      isBalanced = isBalanced || minute.upMs() - evenSinceMs >= holdMs(minute);
    } else {
      evenSinceMs = -1;
      unevenSinceMs = !isWide() ? -1 : unevenSinceMs < 0 ? minute.upMs() : unevenSinceMs;
      isBalanced &= unevenSinceMs < 0 || minute.upMs() - unevenSinceMs < LOST_MS;
    }
  }

  /** Where charge and spread agree, no more is waited for than the noise of the spread's mean. */
  private long holdMs(Minute minute) {
    boolean mayBeOver = minute.upMs() - evenSinceMs >= SHORT_HOLD_MS;
    return mayBeOver && minute.isEvenByCharge().getAsBoolean()
        ? Math.min(SHORT_HOLD_MS, settings.balancedHoldMs())
        : settings.balancedHoldMs();
  }

  /** Wider than balanced by more than the board can tell. */
  private boolean isWide() {
    return smoothMv > settings.balancedMv() + AnalysisSettings.BOARD_FLOOR_MV;
  }

  private BalanceView.State moving(Minute minute) {
    boolean byLead = isTelling();
    FadingLine line = byLead ? lead : spread;
    Estimate slope = line.slope();
    double least = byLead ? 0.004 : 0.5;
    if (byLead && minute.isQuiet() && isStill()) {
      isBalanced = !isWide() && minute.meanMv() >= leastMeanMv;
      return isBalanced
          ? BalanceView.State.BALANCED
          : isWide() ? BalanceView.State.STALLED : BalanceView.State.CONVERGING;
    }
    if (line.count() >= 20 && slope.mid() + slope.half() < 0 && slope.mid() < -least) {
      return BalanceView.State.CONVERGING;
    }
    boolean grows = slope.mid() - slope.half() > 0 && slope.mid() * line.span() > 10 * least;
    if (byLead && line.span() >= STALL_HOURS && grows && minute.isQuiet() && isSurelyMore(minute)) {
      return BalanceView.State.DIVERGING;
    }
    return minute.isBleeding() ? BalanceView.State.CONVERGING : BalanceView.State.UNKNOWN;
  }

  private boolean isTelling() {
    return lead.count() >= 20 && lead.span() >= 0.33;
  }

  /** The lead was less, whatever the errors of both are. */
  private boolean isSurelyMore(Minute minute) {
    Estimate ah = minute.lead();
    return ah != null && ah.mid() - ah.half() > leastHighAh;
  }

  /** For hours nothing was taken from the leader: not even slowly, by what the line can tell. */
  private boolean isStill() {
    Estimate slope = recent.slope();
    return recent.span() >= STALL_HOURS
        && slope.mid() - slope.half() > -slowAmperes
        && slope.mid() + slope.half() < slowAmperes;
  }

  /** True when balanced by more than {@code balanced_mv}: as even as this board makes it. */
  boolean isAsEvenAsItGets() {
    return isBalanced && smoothMv > settings.balancedMv();
  }

  /** The spread without its noise, mV. */
  double smoothMv() {
    return smoothMv;
  }

  /** A minute away from the top. */
  void away(long upMs, boolean isUnevenWithoutCharge) {
    evenSinceMs = -1;
    unevenSinceMs = -1;
    isBalanced = false;
    to(
        isUnevenWithoutCharge && isStill()
            ? BalanceView.State.STALLED
            : BalanceView.State.NOT_AT_TOP,
        upMs);
  }

  /** The board stopped the charge, or charge flows anew: the line does not go on through it. */
  void breakLines() {
    lead.clear();
    recent.clear();
    spread.clear();
    leastHighAh = Double.POSITIVE_INFINITY;
  }

  /** A charge begins anew. */
  void begin() {
    breakLines();
    fastestFall = Double.POSITIVE_INFINITY;
  }

  /**
   * Hours that the greatest lead takes at the least, by what was seen of its fall in this charge: 0
   * before that is known, infinite where it surely does not fall.
   */
  double soonestHours(double allowedAh) {
    double left = Math.max(0, seenAh - allowedAh);
    return left == 0 ? 0 : fastestFall <= 0 ? Double.POSITIVE_INFINITY : left / fastestFall;
  }

  private void to(BalanceView.State next, long upMs) {
    if (next != state) {
      state = next;
      sinceUpMs = upMs;
    }
  }

  /** The latest verdict at the top; {@code UNKNOWN} before the first. */
  BalanceView.State atTopState() {
    return topState;
  }

  BalanceView.State state() {
    return state;
  }

  OptionalLong sinceUpMs() {
    return sinceUpMs < 0 ? OptionalLong.empty() : OptionalLong.of(sinceUpMs);
  }

  /** How long the pack has been even up to and in its balanced state, ms. */
  long balancedMs(long upMs) {
    return isBalanced ? upMs - sinceUpMs + settings.balancedHoldMs() : 0;
  }

  /** How long the spread has been even, ms; 0 when it is not. */
  long evenMs(long upMs) {
    return evenSinceMs < 0 ? 0 : upMs - evenSinceMs;
  }

  /** The greatest lead over the last hours, by the knee. */
  FadingLine lead() {
    return lead;
  }

  FadingLine spread() {
    return spread;
  }

  void state(State io) {
    lead.state(io);
    recent.state(io);
    spread.state(io);
    state = io.constant(state);
    topState = io.constant(topState);
    sinceUpMs = io.number(sinceUpMs);
    evenSinceMs = io.number(evenSinceMs);
    unevenSinceMs = io.number(unevenSinceMs);
    isBalanced = io.flag(isBalanced);
    smoothMv = io.number(smoothMv);
    lastUpMs = io.number(lastUpMs);
    leastHighAh = io.number(leastHighAh);
    seenAh = io.number(seenAh);
    fastestFall = io.number(fastestFall);
  }
}
