package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
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
    Problems problems = new Problems();
    SpecDecoder decoder = new SpecDecoder(SpecReader.read("b.toml", BOARD, problems).orElseThrow());
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
        .contains("its count is missing or too large; the message \"info\" tells it");
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
}
