package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/** Drawn boards whose reading is made of several messages, some of which come broken or not. */
class MissingPartTest {

  /** What became of a message, and the word that says so. */
  private enum Fate {
    WHOLE(""),
    LEFT_OUT(""),
    TURNED("checksum"),
    OTHER_CODE("code 99 is of no described message"),
    IMPOSSIBLE("field"),
    CUT("belong");

    private final String word;

    Fate(String word) {
      this.word = word;
    }
  }

  private static byte[] frame(int code, int value, Fate fate) {
    int shown = fate == Fate.OTHER_CODE ? 99 : code;
    byte[] frame = {(byte) 0xC9, (byte) shown, 2, (byte) (value >> 8), (byte) value, (byte) 0};
    if (fate == Fate.IMPOSSIBLE) {
      frame[3] = (byte) 0xEA;
    }
    int sum = 0;
    for (int i = 1; i < 5; i++) {
      sum += frame[i];
    }
    frame[5] = (byte) (fate == Fate.TURNED ? sum + 1 : sum);
    return fate == Fate.CUT ? new byte[] {frame[0], frame[1]} : frame;
  }

  @Test
  void aVectorSaysOfEachMissingPartThatItIsMissingAndWhy() {
    for (int seed = 0; seed < 600; seed++) {
      Random random = new Random(seed);
      int count = 2 + random.nextInt(4);
      StringBuilder board = new StringBuilder(SummedBoard.talking(""));
      ByteArrayOutputStream bytes = new ByteArrayOutputStream();
      List<Fate> fates = new ArrayList<>();
      for (int i = 1; i <= count; i++) {
        board.append(
            """
            [[message]]
            name = "part %1$d"
            code = %1$d
            field = [ { as = "cell", number = %1$d, type = "u16", unit = "mV", max = 5000 } ]
            """
                .formatted(i));
        Fate fate = Fate.values()[random.nextInt(i == count ? 6 : 5)];
        fates.add(fate);
        bytes.writeBytes(fate == Fate.LEFT_OUT ? new byte[0] : frame(i, 3000 + i, fate));
      }
      if (fates.stream().allMatch(f -> f == Fate.WHOLE) || bytes.size() == 0) {
        continue;
      }

      String detail = detail(board.toString(), bytes.toByteArray());

      String which = "seed " + seed + " " + fates + ": " + detail;
      for (int i = 0; i < count; i++) {
        boolean isNamed = detail.contains("\"part " + (i + 1) + "\" did not come");
        assertThat(isNamed).as(which).isEqualTo(fates.get(i) != Fate.WHOLE);
      }
      for (Fate fate : Fate.values()) {
        boolean isWhy = !fate.word.isEmpty() && detail.contains(fate.word);
        boolean isFate = !fate.word.isEmpty() && fates.contains(fate);
        assertThat(isFate && !isWhy).as(which + " lacks " + fate).isFalse();
      }
      // A turned frame is hunted through from its second byte, so it belongs to no frame, too.
      assertThat(detail.contains("checksum")).as(which).isEqualTo(fates.contains(Fate.TURNED));
      assertThat(detail.contains("field")).as(which).isEqualTo(fates.contains(Fate.IMPOSSIBLE));
    }
  }

  private static String detail(String board, byte[] bytes) {
    Problems problems = new Problems();
    SpecDecoder decoder = new SpecDecoder(SpecReader.read("b.toml", board, problems).orElseThrow());
    String vectors =
        """
        [[vector]]
        name = "drawn"
        frame = "%s"
        [vector.reading]
        cells_v = [3.001]
        """
            .formatted(Bytes.of(bytes));
    List<VectorRun.Outcome> outcomes = VectorRun.run(decoder, "b.vectors.toml", vectors, problems);
    assertThat(problems.toString()).isEmpty();
    assertThat(outcomes.get(0).passed()).isFalse();
    return outcomes.get(0).detail();
  }
}
