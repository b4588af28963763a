package org.cellherd.alert.rule;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.OptionalInt;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Gap.Cause;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * When a silence is one, to the millisecond, and how bad it is by what was last seen. The board of
 * these tests bleeds from 3.45 V, the knee of its cells begins at 3.40 V.
 */
class SilenceTest {
  private static final int NOTE = 1;
  private static final int WARNING = 2;
  private static final int CRITICAL = 3;
  private static final long HOUR_MS = 3_600_000;

  /**
   * After nine intervals the tenth reading is lost once in ten times, so many in a row once in
   * 4,096 times. Each answer is waited for by 3 s; then the next question has its second.
   */
  private static final double LOST_OF_NINE = Math.log(4_096) / Math.log(10);

  private static final long HARDLY_KNOWN_MS = Math.round(2_000 + (LOST_OF_NINE - 1) * 3_000);

  private final OptionalInt untold = OptionalInt.empty();
  private final PackPlan plan =
      PackPlan.builder("crate", Chemistry.LFP, 2, 1, 100_000)
          .board(
              new BoardRating("b", untold, untold, untold, untold, untold, OptionalInt.of(3_450)))
          .build();
  private final AlertSettings settings = Rules.defaults(plan);
  private final JudgedRule silent = new JudgedRule(plan, settings, Silent.ID);
  private long nowMs = 1_767_225_600_000L;

  private void heard(int times, long everyMs, int tenthMv, int ma) {
    for (int i = 0; i < times; i++) {
      nowMs += everyMs;
      Judgement said = silent.of(0, reading(tenthMv, ma));
      assertThat(said.level()).isZero();
    }
  }

  private Reading reading(int tenthMv, int ma) {
    return Reading.at(nowMs)
        .cells(CellVoltages.ofTenthMv(tenthMv, tenthMv - 200))
        .currentMa(ma)
        .build();
  }

  private Judgement after(long ms, Cause cause) {
    return silent.of(0, new Gap(nowMs, nowMs + ms, cause));
  }

  /** Nothing a millisecond before, this at the limit, which is named in seconds. */
  private void isSilentFrom(long limitMs, int level, Cause cause) {
    assertThat(after(limitMs - 1, cause).level()).isZero();
    Judgement said = after(limitMs, cause);
    assertThat(said.level()).isEqualTo(level);
    assertThat(said.limit()).isEqualTo(limitMs / 1000.0);
    assertThat(said.inside()).isFalse();
  }

  @ParameterizedTest
  @CsvSource({"34500, 5000", "36000, 1000"})
  void atTheTopThreeMissesAreCriticalOnceThePaceIsSettled(int tenthMv, int ma) {
    heard(66, 1000, tenthMv, ma);

    isSilentFrom(3_000, CRITICAL, Cause.NO_BYTES);
  }

  @Test
  void ofABoardThatIsHardlyKnownLostAnswersAreThoughtOf() {
    heard(10, 1000, 34_500, 5_000);

    isSilentFrom(HARDLY_KNOWN_MS, CRITICAL, Cause.NO_BYTES);
  }

  /** A lost answer explains no missing port; before the third interval nothing is known at all. */
  @ParameterizedTest
  @CsvSource({"4, 3000", "10, 3000"})
  void aLineThatIsGoneIsNotExplainedByLostAnswers(int readings, long limitMs) {
    heard(readings, 1000, 34_500, 5_000);

    isSilentFrom(limitMs, CRITICAL, Cause.PORT_MISSING);
    isSilentFrom(limitMs, CRITICAL, Cause.PORT_REFUSED);
  }

  /** Below the level at which the board bleeds, or without a charge, nothing is at its top. */
  @ParameterizedTest
  @CsvSource({"34499, 5000", "34500, -5000"})
  void elsewhereItIsAWarningAfterTwoMinutes(int tenthMv, int ma) {
    heard(66, 1000, tenthMv, ma);

    isSilentFrom(120_000, WARNING, Cause.NO_BYTES);
  }

  /** A board that speaks once a minute is not silent after two. */
  @Test
  void aSlowBoardIsWaitedForByItsOwnPace() {
    heard(66, 60_000, 33_000, -5_000);

    isSilentFrom(180_000, WARNING, Cause.NO_BYTES);
  }

  /** Held at its top by a charger whose current is printed as nothing. */
  @Test
  void aPackThatIsHeldIsAtItsTop() {
    heard(66, 1000, 34_600, 5_000);
    heard(20, 1000, 34_600, 0);

    isSilentFrom(3_000, CRITICAL, Cause.NO_BYTES);
  }

  /** 10 mV a cell of sinking is what a full pack does by itself. */
  @Test
  void aPackThatSankByMoreThanTenMillivoltsIsNotHeld() {
    heard(66, 1000, 34_700, 5_000);
    heard(1_800, 1000, 34_600, 0);
    isSilentFrom(3_000, CRITICAL, Cause.NO_BYTES);

    heard(1_800, 1000, 34_599, 0);
    isSilentFrom(120_000, WARNING, Cause.NO_BYTES);
  }

  /** What was held before the pack left its knee counts no more. */
  @Test
  void thePeakOfAnEarlierChargeIsForgottenBelowTheKnee() {
    heard(66, 1000, 36_000, 5_000);
    heard(1_800, 1000, 33_000, -5_000);
    heard(66, 1000, 34_600, 5_000);
    heard(20, 1000, 34_600, 0);

    isSilentFrom(3_000, CRITICAL, Cause.NO_BYTES);
  }

  /** A board sleeps when nothing flows: by its silence, not by a missing port. */
  @Test
  void afterTwoHoursOfRestAQuietLineIsANoteAndAnotherCauseAWarning() {
    rested(2 * HOUR_MS);

    assertThat(after(120_000, Cause.NO_BYTES))
        .matches(said -> said.level() == NOTE && said.words().get().more().contains("asleep"));
    assertThat(after(120_000, Cause.PORT_MISSING).level()).isEqualTo(WARNING);
  }

  @Test
  void aShorterRestIsNoSleep() {
    rested(2 * HOUR_MS - 1);

    assertThat(after(120_000, Cause.NO_BYTES).level()).isEqualTo(WARNING);
  }

  /** So long after the first reading without current the board was last heard. */
  private void rested(long forMs) {
    heard(66, 1000, 33_000, -5_000);
    heard(1, 10_000, 33_000, 0);
    long end = nowMs + forMs;
    while (nowMs + 10_000 < end) {
      heard(1, 10_000, 33_000, 0);
    }
    heard(1, end - nowMs, 33_000, 0);
  }

  /** It sank as a full pack does by itself, and rests high since then. */
  @Test
  void aFullPackThatNobodyHoldsRests() {
    heard(66, 1000, 34_700, 5_000);
    heard(1, 1000, 34_500, 0);
    heard(900, 10_000, 34_500, 0);

    assertThat(silent.view().phase()).isEqualTo(Phase.HOLD);
    assertThat(after(120_000, Cause.NO_BYTES).level()).isEqualTo(NOTE);
  }

  @Test
  void aRestartForgetsNeitherPaceNorTop() {
    heard(66, 2000, 34_700, 5_000);
    heard(900, 2000, 34_650, 0);
    silent.restart();
    isSilentFrom(6_000, CRITICAL, Cause.NO_BYTES);

    silent.restart();
    heard(1, 2000, 34_599, 0);
    isSilentFrom(120_000, WARNING, Cause.NO_BYTES);
  }

  @Test
  void aRestartForgetsNoRest() {
    rested(2 * HOUR_MS);
    silent.restart();

    assertThat(after(120_000, Cause.NO_BYTES).level()).isEqualTo(NOTE);
  }

  /** The program was away or slow: the board is given its time anew. */
  @ParameterizedTest
  @EnumSource(names = {"NOT_RUNNING", "SKIPPED"})
  void whatIsNotTheBoardsSilenceIsNone(Cause cause) {
    heard(66, 1000, 34_500, 5_000);

    assertThat(silent.judge(new Gap(nowMs, nowMs + HOUR_MS, cause))).isEmpty();
    nowMs += HOUR_MS;
    isSilentFrom(3_000, CRITICAL, Cause.NO_BYTES);
  }

  /** A silence of the board teaches its pace; a port that was away for a while does not. */
  @ParameterizedTest
  @CsvSource({
    "NO_BYTES, true",
    "BAD_CHECKSUM, true",
    "WRONG_ANSWER, true",
    "DECLINED, true",
    "PORT_MISSING, false",
    "PORT_REFUSED, false",
    "UNKNOWN, false",
    "NOT_RUNNING, false",
    "SKIPPED, false"
  })
  void onlyTheBoardsOwnSilenceTeachesItsPace(Cause cause, boolean teaches) {
    heard(66, 1000, 34_500, 5_000);
    silent.judge(new Gap(nowMs, nowMs + 2_000, cause));
    heard(1, 2_500, 34_500, 5_000);

    isSilentFrom(teaches ? 7_500 : 3_000, CRITICAL, Cause.NO_BYTES);
  }

  @Test
  void aRunBeginsToWaitWhenItStarts() {
    heard(66, 1000, 33_000, 0);
    nowMs += HOUR_MS;
    silent.judge(new SessionStart(nowMs, 2, true, true));

    assertThat(after(119_999, Cause.PORT_MISSING).level()).isZero();
    assertThat(after(120_000, Cause.PORT_MISSING).level()).isEqualTo(WARNING);
  }

  /** Each cause has words and a step of its own, and the time of the last reading is told. */
  @ParameterizedTest
  @CsvSource({
    "PORT_MISSING, The port is missing, adapter",
    "PORT_REFUSED, The port cannot be opened, another program",
    "NO_BYTES, The line is quiet, the board's power",
    "BAD_CHECKSUM, no frame passes its check, baud rate",
    "WRONG_ANSWER, not the answer, address",
    "DECLINED, The board answers with an error, a board at work",
    "UNKNOWN, The cause is not known, the board's power"
  })
  void theCauseIsNamedWithWhatToDo(Cause cause, String what, String step) {
    heard(66, 1000, 33_000, -5_000);

    List<String> said =
        List.of(
            after(120_000, cause).words().get().more(),
            after(120_000, cause).words().get().firstStep());

    assertThat(said.get(0)).contains(what).endsWith("the last reading came at 00:01:06.");
    assertThat(said.get(1)).contains(step);
    assertThat(after(120_000, cause).words().get().evidence().list().get(1))
        .isEqualTo(Facts.of().putTime("last_heard", nowMs).build().list().get(0));
  }

  /** What the board said last is told, not when this program was last away. */
  @ParameterizedTest
  @EnumSource(names = {"NOT_RUNNING", "SKIPPED"})
  void theTimeOfTheLastReadingOutlastsWhatWasNotHeard(Cause cause) {
    heard(66, 1000, 33_000, -5_000);
    long lastMs = nowMs;
    nowMs += HOUR_MS;
    silent.judge(new Gap(lastMs, nowMs, cause));
    silent.judge(new SessionStart(nowMs, 2, true, true));

    Words said = after(120_000, Cause.NO_BYTES).words().get();

    assertThat(said.more()).contains("the last reading came at 00:01:06.");
    assertThat(said.evidence().list())
        .contains(Facts.of().putTime("last_heard", lastMs).build().list().get(0));
  }
}
