package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;

/** Acknowledgements and what comes of them. */
class SeenTest {

  @Test
  void eachOutcomeHasAWordAndASentenceOfItsOwn() {
    assertThat(Acknowledger.Seen.values())
        .extracting(Acknowledger.Seen::word)
        .doesNotHaveDuplicates();
    assertThat(Arrays.stream(Acknowledger.Seen.values()).map(Acknowledger.Seen::sentence))
        .doesNotHaveDuplicates()
        .allMatch(sentence -> sentence.matches("[A-Z][^.]+\\."));
  }

  @Test
  void whoDoesNotWaitForTheAnswerAcknowledgesAllTheSame() {
    List<String> taken = new ArrayList<>();
    Acknowledger desk =
        (id, by, answer) -> {
          taken.add(id + " by " + by);
          answer.accept(Acknowledger.Seen.DONE);
        };

    desk.acknowledge("shed.leak.1-1", "Anna");

    assertThat(taken).containsExactly("shed.leak.1-1 by Anna");
  }
}
