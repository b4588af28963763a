package org.cellherd.app.campaign;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Random;
import org.cellherd.app.campaign.stage.RoughWire;
import org.cellherd.app.campaign.stage.Trouble;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A board that a line hands several questions at once, or a part of one. */
class CampaignBoardTest {

  private static final byte[] LIVE = HexFormat.of().parseHex("01030064001e841d");
  private static final byte[] ABOUT = HexFormat.of().parseHex("010400000009300c");

  /** The charge counter's place in the answer: its registers begin with the ninth. */
  private static final int NUMBER_AT = 3 + 2 * 8;

  private static final int LIVE_LENGTH = 3 + 60 + 2;
  private static final int ABOUT_LENGTH = 3 + 18 + 2;

  @ParameterizedTest
  @ValueSource(longs = {2, 4, 6, 8})
  void everyAskedReadingIsMeasuredAnew(long seed) throws Exception {
    Random random = new Random(seed);
    long[] nowMs = {1_700_000_000_000L};
    RoughWire wire = CampaignWires.wire("shelf", seed, () -> nowMs[0]);
    wire.become(Trouble.NONE);
    ByteArrayOutputStream questions = new ByteArrayOutputStream();
    List<byte[]> asked = new ArrayList<>();
    for (int i = 0; i < 60; i++) {
      asked.add(random.nextBoolean() ? LIVE : ABOUT);
      questions.writeBytes(asked.get(i));
    }

    ByteArrayOutputStream answers = new ByteArrayOutputStream();
    byte[] all = questions.toByteArray();
    for (int from = 0; from < all.length; ) {
      int to = Math.min(all.length, from + 1 + random.nextInt(30));
      answers.writeBytes(wire.exchange(Arrays.copyOfRange(all, from, to)));
      nowMs[0] += 1000;
      from = to;
    }

    assertThat(numbers(answers.toByteArray(), asked))
        .hasSize(wire.board().record().all().size())
        .doesNotHaveDuplicates()
        .isSorted();
  }

  private static List<Integer> numbers(byte[] answers, List<byte[]> asked) {
    List<Integer> numbers = new ArrayList<>();
    int at = 0;
    for (byte[] question : asked) {
      if (question == LIVE) {
        numbers.add(ByteBuffer.wrap(answers).getInt(at + NUMBER_AT));
      }
      at += question == LIVE ? LIVE_LENGTH : ABOUT_LENGTH;
    }
    assertThat(answers).hasSize(at);
    return numbers;
  }
}
