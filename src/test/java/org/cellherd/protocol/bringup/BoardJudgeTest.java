package org.cellherd.protocol.bringup;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.cellherd.protocol.bringup.InventedLine.bytes;
import static org.cellherd.protocol.bringup.InventedLine.cells;
import static org.cellherd.protocol.bringup.InventedLine.words;

import java.util.List;
import java.util.Random;
import java.util.SplittableRandom;
import org.cellherd.protocol.bringup.Known.Quantity;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A few drawn boards in each build; {@link BoardJudge} draws as many as wanted. */
class BoardJudgeTest {
  private static final int BOARDS = 12;

  @Test
  void drawnBoardsAreFoundAndTheirDraftsDecodeTheirCaptures() {
    BoardJudge.Verdicts verdicts = BoardJudge.judge(1, BOARDS, "", false);

    assertThat(verdicts.share(BoardVerdict::framing, false)).isGreaterThanOrEqualTo(90);
    assertThat(verdicts.share(BoardVerdict::check, false)).isGreaterThanOrEqualTo(90);
    assertThat(verdicts.share(BoardVerdict::cells, false)).isGreaterThanOrEqualTo(90);
    assertThat(verdicts.share(BoardVerdict::current, false)).isGreaterThanOrEqualTo(80);
    assertThat(verdicts.share(BoardVerdict::current, true)).isGreaterThanOrEqualTo(90);
    assertThat(verdicts.share(BoardVerdict::drafts, false)).isGreaterThanOrEqualTo(95);
    assertThat(verdicts.share(BoardVerdict::untrue, false)).isZero();
  }

  @ParameterizedTest
  @CsvSource({
    "605, 3, check BEHIND",
    "605, 3, cells packed 10",
    "605, 3, multiplexed cells packed 14",
    "410, 3, '(pages|counted) by two'",
    "410, 3, '(multiplexed|frames) by two'",
    // Questions without a check value before answers with a sum, or with a CRC of the maker's own.
    "302, 1, '^18 '",
    "603, 1, '^18 '",
    // A counter behind bytes that never change: a check value that covers none of what changes.
    "350, 1, '^6 '",
    // Questions of two lengths before answers, so that pauses are at no one place; a CRC as sent.
    "342, 1, '^13 '",
    "406, 1, '^4 '",
    // Pages by three that end with two; packed tens whose last page is as high as the highest cell.
    "344, 1, '^23 '",
    "364, 1, '^32 '"
  })
  void boardsOfRareMakeUpAreFound(long seed, int boards, String family) {
    BoardJudge.Verdicts verdicts = BoardJudge.judge(seed, boards, family, false);

    assertThat(verdicts.share(BoardVerdict::framing, false)).isEqualTo(100);
    assertThat(verdicts.share(BoardVerdict::check, false)).isEqualTo(100);
    assertThat(verdicts.share(BoardVerdict::cells, false)).isEqualTo(100);
    assertThat(verdicts.share(BoardVerdict::drafts, false)).isEqualTo(100);
    assertThat(verdicts.share(BoardVerdict::current, true)).isEqualTo(100);
    assertThat(verdicts.share(BoardVerdict::temperatures, true)).isEqualTo(100);
  }

  @Test
  void aCurrentThatContradictsTheCaptureIsNotTaken() {
    int contradicted = 0;
    for (int n = 0; n < 6; n++) {
      Random random = new Random(new SplittableRandom(n).nextLong());
      EmulatedLine line = new EmulatedLine(new EmulatedBoard(random), random, 120, 0);
      List<Known> wrong = line.meter(true).stream().map(BoardJudgeTest::aThousandfold).toList();

      Identification found = BringUp.identify(HeardBytes.recording(line.heard()), wrong);

      String said = found.sentences() + found.draft("drawn").orElse("");
      assertThat(said).as("board %d", n).doesNotContain("the meter settles scale");
      contradicted += said.contains("contradicts the capture") ? 1 : 0;
    }
    assertThat(contradicted).isGreaterThanOrEqualTo(4);
  }

  private static Known aThousandfold(Known known) {
    return known.quantity() == Quantity.CURRENT
        ? new Known(Quantity.CURRENT, known.number(), 1000 * known.value(), known.atSeconds())
        : known;
  }

  @Test
  void aSumThatFitsTwoThirdsOfTheMessagesIsNotSure() {
    InventedLine line = new InventedLine(5, 0);
    line.said(
        120,
        n -> {
          byte[] head = bytes(0xC9, 0x33, words(cells(n, 8)));
          int sum = 0;
          for (byte b : head) {
            sum += b & 0xFF;
          }
          return bytes(head, n % 3 == 0 ? sum + 1 + n % 7 : sum);
        });

    Identification found = HeardBytes.identify(line.heard());

    assertThat(found.checksum()).contains("sum8");
    assertThat(found.isSure()).isFalse();
    assertThat(found.sentences()).anyMatch(t -> t.contains("It fits 80 of 120 messages (66 %)"));
  }

  @Test
  void valuesOfAMeterAreReadWithUnitsAndTimes() {
    List<Known> known = Known.parse("cell 12 = 3312 mV, current = -4.2 A at 35.5 s");

    assertThat(known.get(0).quantity()).isEqualTo(Quantity.CELL);
    assertThat(known.get(0).number()).isEqualTo(12);
    assertThat(known.get(0).value()).isEqualTo(3.312);
    assertThat(known.get(1).atSeconds()).hasValue(35.5);
    for (String bad : List.of("cell = 3 V", "current 1 = 3 A", "pack = 53 A", "soc", "", "pack=")) {
      assertThatThrownBy(() -> Known.parse(bad)).hasMessageContaining("allowed");
    }
  }
}
