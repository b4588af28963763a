package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.Dialogue.Progress;
import org.cellherd.protocol.Request;
import org.cellherd.protocol.Responder;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/**
 * Drawn boards whose cells come page by page, counted by the page or by another message, under
 * check values that know the address: read as they are, and played by our own side as they are
 * read.
 */
class PagedBoardsTest {
  private static final int BOARDS = 3000;

  private static SpecDecoder decoder(PagedBoard board) {
    Problems problems = new Problems();
    return new SpecDecoder(
        SpecReader.read("paged.toml", board.toml(), problems)
            .orElseThrow(() -> new AssertionError(problems + "\n" + board.toml())));
  }

  private static void feed(Dialogue dialogue, byte[] bytes) {
    Progress progress = dialogue.feed(bytes, 0, bytes.length);
    while (dialogue.isListenOnly() && progress == Progress.ANSWERED) {
      progress = dialogue.feed(bytes, 0, 0);
    }
  }

  /** What is whole after one of the messages. */
  private static Optional<Reading> said(Dialogue dialogue, List<byte[]> messages) {
    Optional<Reading> whole = Optional.empty();
    for (byte[] message : messages) {
      feed(dialogue, message);
      Optional<Reading> now = dialogue.reading(5);
      whole = now.isPresent() ? now : whole;
    }
    return whole;
  }

  private static Optional<Reading> read(PagedBoard board, Dialogue dialogue) {
    dialogue.begin();
    if (!board.isAsked) {
      return said(dialogue, board.said());
    }
    Optional<Request> asked = dialogue.nextRequest();
    for (int i = 0; asked.isPresent() && i < 100; i++) {
      board.answers(asked.get().bytes()).forEach(m -> feed(dialogue, m));
      asked = dialogue.nextRequest();
    }
    return dialogue.reading(5);
  }

  @Test
  void everyCellIsReadWhereverItsPageIs() {
    for (int seed = 0; seed < BOARDS; seed++) {
      PagedBoard board = new PagedBoard(new Random(seed));
      Dialogue dialogue = decoder(board).dialogue(board.owner);

      Optional<Reading> reading = read(board, dialogue);

      String which = "seed " + seed + ": " + board + " " + dialogue.lastRefusal();
      assertThat(reading.map(Reading::cells)).as(which).contains(CellVoltages.ofMv(board.cells));
    }
  }

  @Test
  void anotherBoardOfTheLineIsNotRead() {
    int read = 0;
    for (int seed = 0; seed < BOARDS; seed++) {
      PagedBoard board = new PagedBoard(new Random(seed));
      if (!board.form.equals("can")) {
        Dialogue dialogue = decoder(board).dialogue(board.owner + 1 + seed % 3);

        read += read(board, dialogue).isPresent() ? 1 : 0;
      }
    }
    assertThat(read).isZero();
  }

  @Test
  void aLostPageCostsItsRoundAndNothingElse() {
    for (int seed = 0; seed < BOARDS; seed++) {
      PagedBoard board = new PagedBoard(new Random(seed));
      List<byte[]> said = board.said();
      if (!board.isAsked && said.size() > 2) {
        Dialogue dialogue = decoder(board).dialogue(board.owner);
        int lost = 1 + new Random(seed).nextInt(said.size() - 1);
        said.set(lost, new byte[0]);
        String which = "seed " + seed + ": " + board + ", lost " + lost;
        assertThat(said(dialogue, said)).as(which).isEmpty();

        assertThat(read(board, dialogue).map(Reading::cells))
            .as(which)
            .contains(CellVoltages.ofMv(board.cells));
      }
    }
  }

  @Test
  void ourOwnBoardAnswersAsItIsRead() {
    for (int seed = 0; seed < BOARDS; seed++) {
      PagedBoard board = new PagedBoard(new Random(seed));
      SpecDecoder decoder = decoder(board);
      Dialogue dialogue = decoder.dialogue(board.owner);
      Responder responder = decoder.responder(board.owner).orElseThrow();
      Reading truth = Reading.at(5).cells(CellVoltages.ofMv(board.cells)).build();

      dialogue.begin();
      feed(dialogue, responder.announce(truth));
      Optional<Request> asked = dialogue.nextRequest();
      for (int i = 0; asked.isPresent() && i < 100; i++) {
        feed(dialogue, responder.feed(asked.get().bytes(), () -> truth));
        asked = dialogue.nextRequest();
      }

      String which = "seed " + seed + ": " + board + " " + dialogue.lastRefusal();
      assertThat(dialogue.reading(5)).as(which).contains(truth);
    }
  }
}
