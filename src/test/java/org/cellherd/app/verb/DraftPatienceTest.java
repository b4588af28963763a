package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.TwinBlocks;
import org.cellherd.protocol.bringup.BringUp;
import org.cellherd.protocol.bringup.Identification;
import org.cellherd.protocol.bringup.Recording;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Captures of invented boards that were asked, and what a draft states of their patience. */
class DraftPatienceTest {
  private static final String BLOCKS = TwinBlocks.of(8);

  private static String draft(String text, int polls) {
    Decoder decoder = Specs.read("blocks.toml", text, new Problems()).orElseThrow();
    Dialogue dialogue = decoder.dialogue(1);
    Responder board = decoder.responder(1).orElseThrow();
    Random random = new Random(1);
    Recording heard = new Recording();
    for (int poll = 0; poll < polls; poll++) {
      int[] mv = random.ints(16, 3300, 3340).toArray();
      Reading now = Reading.at(0).cells(CellVoltages.ofMv(mv)).build();
      dialogue.begin();
      long atMs = 1000L * poll;
      for (var asked = dialogue.nextRequest(); asked.isPresent(); asked = dialogue.nextRequest()) {
        byte[] request = asked.get().bytes();
        byte[] answer = board.feed(request, () -> now);
        heard.add(atMs, true, request);
        atMs += 20 + (poll % 40 == 7 ? 110 : random.nextInt(30));
        heard.add(atMs, false, answer);
        dialogue.feed(answer, 0, answer.length);
        atMs += 50;
      }
    }
    Identification found = BringUp.identify(heard, List.of());
    return DraftPatience.stated(found.draft("drafted").orElseThrow(), found.address(), heard);
  }

  @Test
  void aBoardWhoseMessagesLookAlikeIsGivenWhatItWasMeasuredToTake() {
    String draft = draft(BLOCKS, 80);

    assertThat(Arrays.asList(draft.split("\n")))
        .anyMatch(l -> l.startsWith("answer_within_ms = 400 "));
    assertThat(Specs.read("draft", draft, new Problems())).isPresent();
  }

  @ParameterizedTest
  @ValueSource(strings = {"function = 4", "count = 9"})
  void whereAnswersTellTheirQuestionNothingIsStated(String other) {
    String old = other.startsWith("f") ? "function = 3" : "count = 8";
    int at = BLOCKS.lastIndexOf(old);
    String text = BLOCKS.substring(0, at) + other + BLOCKS.substring(at + old.length());

    assertThat(draft(text, 80)).doesNotContain("answer_within_ms");
  }

  @Test
  void aFewAnswersTellNothing() {
    assertThat(draft(BLOCKS, 30)).doesNotContain("answer_within_ms");
  }
}
