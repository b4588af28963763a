package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Locale;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/** What a file of vectors says about boards whose reading is made of several parts. */
class VectorRunTest {

  private static final String BOARD =
      SummedBoard.talking(
          """
          [[message]]
          name = "info"
          code = 1
          field = [ { name = "n", type = "u8", max = 4 } ]
          [[message]]
          name = "cells"
          code = 2
          field = [
            { name = "page", type = "u8", show = false },
            { as = "cell", type = "u16", repeat = 2, unit = "mV", up_to = "info.n" },
          ]
          [message.pages]
          field = "page"
          count = 2
          """);

  private static List<VectorRun.Outcome> run(String vectors) {
    return run(BOARD, vectors);
  }

  private static List<VectorRun.Outcome> run(String board, String vectors) {
    Problems problems = new Problems();
    SpecDecoder decoder = new SpecDecoder(SpecReader.read("b.toml", board, problems).orElseThrow());
    List<VectorRun.Outcome> outcomes = VectorRun.run(decoder, "b.vectors.toml", vectors, problems);
    assertThat(problems.toString()).isEmpty();
    return outcomes;
  }

  @Test
  void allPagesMakeTheReading() {
    String vectors =
        """
        [[vector]]
        name = "three cells"
        frame = "C9 01 01 03 05 C9 02 05 00 0D 03 0D 02 26 C9 02 05 01 0D 04 00 00 19"
        [vector.reading]
        cells_v = [3.331, 3.330, 3.332]
        """;

    assertThat(run(vectors)).allMatch(VectorRun.Outcome::passed, "passed");
  }

  @Test
  void theMissingPartIsNamedAndWhyItIsMissing() {
    String vectors =
        """
        [[vector]]
        name = "no second page"
        frame = "C9 01 01 03 05 C9 02 05 00 0D 03 0D 02 26 C9 02 05 01 0D 04 00 00 18"
        [vector.reading]
        cells_v = [3.331, 3.330, 3.332]
        [[vector]]
        name = "no count"
        frame = "C9 02 05 00 0D 03 0D 02 26"
        [vector.reading]
        cells_v = [3.331, 3.330]
        """;

    List<VectorRun.Outcome> outcomes = run(vectors);

    assertThat(outcomes.get(0).detail())
        .contains("\"cells\" lacks page 1")
        .contains("check value is 18, computed 19");
    assertThat(outcomes.get(1).detail())
        .contains("its count is missing or too large; the message \"info\" gives it");
  }

  @Test
  void aCountBeyondItsRangeCountsNothingInOtherMessages() {
    String vectors =
        """
        [[vector]]
        name = "nine cells"
        frame = "C9 01 01 09 0B C9 02 05 00 0D 03 0D 02 26 C9 02 05 01 0D 04 00 00 19"
        [vector.reading]
        cells_v = [3.331, 3.330, 3.332]
        """;

    assertThat(run(vectors).get(0).detail()).contains("\"info\" did not come", "n is 9, valid");
  }

  /** Texts, counters and flags that no reading holds, in an order of the board's own. */
  private static final String TALKATIVE =
      SummedBoard.talking(
          """
          [[message]]
          name = "cells"
          code = 2
          field = [
            { as = "cell", type = "u16", repeat = 2, unit = "mV" },
            { name = "cycles", type = "u16" },
            { as = "any_bleeding", type = "u8" },
            { as = "current", type = "u16", scale = 0.015, offset = -300, unit = "A", positive = "charging" },
          ]
          [[message]]
          name = "about"
          code = 7
          field = [
            { name = "firmware", type = "text", bytes = 3 },
            { name = "word", type = "u64", show = false },
            { as = "temperature", over = "word", bit = 8, bits = 8, unit = "C" },
            { name = "all of it", over = "word", bit = 0, bits = 64 },
          ]
          """);

  @Test
  void whatAReadingDoesNotHoldIsNoFault() {
    String vectors =
        """
        [[vector]]
        name = "as it came"
        frame = "C9 07 0B 31 2E 32 FF 00 00 00 00 00 15 80 00 C9 05 01 00 CF C9 02 09 0D 03 0D 02 00 63 01 4D 08 0E"
        [vector.reading]
        cells_v = [3.331, 3.330]
        current_a = -4.2
        temps_c = [21]
        [vector.shows]
        bleeding = "some cells (the board does not report which)"
        """;

    assertThat(run(TALKATIVE, sum(vectors, "C9 07", "C9 02")))
        .extracting(VectorRun.Outcome::detail)
        .containsExactly("");
  }

  /** The same text with the check bytes of two frames put right. */
  private static String sum(String text, String... beginnings) {
    String summed = text;
    for (String beginning : beginnings) {
      int from = summed.indexOf(beginning);
      int length = Integer.parseInt(summed.substring(from + 6, from + 8), 16);
      int end = from + 3 * (3 + length);
      int sum = 0;
      for (String hex : summed.substring(from + 3, end).trim().split(" ")) {
        sum += Integer.parseInt(hex, 16);
      }
      summed =
          summed.substring(0, end)
              + String.format(Locale.ROOT, "%02X", sum & 0xFF)
              + summed.substring(end + 2);
    }
    return summed;
  }

  @Test
  void aBoardThatCannotBePlayedIsSaid() {
    String board =
        SummedBoard.talking(
            """
            [[message]]
            name = "cells"
            code = 2
            field = [
              { name = "flags", type = "u8" },
              { as = "cell", type = "u16", repeat = 2, unit = "mV" },
              { as = "current", type = "s16", unit = "mA", positive = "charging", when = { field = "flags", bit = 0 } },
            ]
            """);
    String vectors =
        """
        [[vector]]
        name = "with a current"
        frame = "C9 02 07 01 0D 03 0D 02 EF 98 00"
        [vector.reading]
        cells_v = [3.331, 3.330]
        current_a = -4.2
        """;

    assertThat(run(board, sum(vectors, "C9 02")).get(0).detail())
        .contains("the board that \"simulate\" plays", "current_a is missing", "encodes = false");
    assertThat(
            run(board, sum(vectors, "C9 02") + "[vector.shows]\nflags = \"3\"\n").get(0).detail())
        .contains("flags is shown as \"1\", expected \"3\"");
  }

  @Test
  void aCheckValueOfTheOtherOrderIsSaid() {
    String board =
        SummedBoard.talking(
                """
                [[message]]
                name = "cells"
                code = 2
                field = [ { as = "cell", type = "u16", repeat = 2, unit = "mV" } ]
                """)
            .replace("sum8", "sum16");
    String vectors =
        """
        [[vector]]
        name = "low byte first"
        frame = "C9 02 04 0D 03 0D 02 25 00"
        [vector.reading]
        cells_v = [3.331, 3.330]
        """;

    assertThat(run(board, vectors).get(0).detail()).contains("order = \"little\"");
  }

  /** A tenth of a kelvin lies half between two tenths of a degree. */
  @Test
  void everyTemperatureIsPlayedAsItWasRead() {
    String board =
        SummedBoard.talking(
            """
            [[message]]
            name = "sensors"
            code = 2
            field = [ { as = "temperature", type = "u16", unit = "K", scale = 0.1 } ]
            """);
    StringBuilder vectors = new StringBuilder();
    for (int raw = 2331; raw < 3531; raw++) {
      String data = "02 02 %02X %02X".formatted(raw >> 8, raw & 0xFF);
      vectors.append(
          "[[vector]]\nname = \"%d\"\nframe = \"C9 %s %02X\"\n[vector.reading]\ntemps_c = [%.1f]\n"
              .formatted(
                  raw,
                  data,
                  (4 + (raw >> 8) + (raw & 0xFF)) & 0xFF,
                  Math.floor(raw - 2731.5 + 0.5) / 10));
    }

    assertThat(run(board, vectors.toString())).allMatch(VectorRun.Outcome::passed, "passed");
  }

  @Test
  void aBoardWithoutACheckValueNeedsNoRefusedVector() {
    String can =
        """
        spec = 1
        id = "b"
        title = "b"
        talk = "listen"
        [frame]
        kind = "slcan"
        [[message]]
        name = "cells"
        can_id = 0x100
        bytes = 2
        field = [ { as = "cell", type = "u16", unit = "mV" } ]
        """;
    String vectors =
        "[[vector]]\n"
            + "name = \"a\"\n"
            + "frame_text = \"t10020CE4\\r"
            + "\"\n"
            + "[vector.reading]\n"
            + "cells_v = [3.3]\n";

    assertThat(gaps(can, vectors)).isEmpty();
    assertThat(gaps(BOARD, vectors)).anyMatch(gap -> gap.contains("wrong check value"));
  }

  private static List<String> gaps(String board, String vectors) {
    Problems problems = new Problems();
    SpecDecoder decoder = new SpecDecoder(SpecReader.read("b.toml", board, problems).orElseThrow());
    return VectorRun.gaps(decoder, "b.vectors.toml", vectors);
  }

  /** Its answers have a check value, its questions are bare words. */
  @Test
  void aTextBoardMayBeAskedOtherwiseThanItAnswers() {
    String board =
        """
        spec = 1
        id = "b"
        title = "b"
        [frame]
        kind = "line"
        style = "csv"
        start = "@"
        [frame.checksum]
        kind = "xor8"
        [request_frame]
        end = "cr"
        [[message]]
        name = "cells"
        request = "V?"
        starts = "@"
        field = [ { as = "cell", column = 1, repeat = 2, unit = "V" } ]
        """;
    String vectors =
        """
        [[vector]]
        name = "a"
        exchange = [ { request_text = "V?\\r", frame_text = "@3.301,3.302*6F\\r\\n" } ]
        [vector.reading]
        cells_v = [3.301, 3.302]
        """;

    assertThat(run(board, vectors)).extracting(VectorRun.Outcome::detail).containsExactly("");
  }
}
