package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue.Progress;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.api.Test;

class DialogueTest {

  private final Decoder sorrel = Specs.find("sorrel-16").orElseThrow();
  private final Dialogue dialogue = sorrel.dialogue(1);
  private final Reading truth = PlausibleReadings.any(new Random(2));

  private byte[] answerOf(int address, Request request) {
    byte[] asked = sorrel.dialogue(address).nextRequest().orElseThrow().bytes();
    assertThat(asked.length).isEqualTo(request.bytes().length);
    return sorrel.responder(address).orElseThrow().feed(asked, () -> truth);
  }

  private Progress feed(byte[] bytes) {
    return dialogue.feed(bytes, 0, bytes.length);
  }

  @Test
  void theAnswerOfAnotherBoardIsPassedOverAndOursIsStillWaitedFor() {
    dialogue.begin();
    Request request = dialogue.nextRequest().orElseThrow();

    assertThat(feed(answerOf(2, request))).isEqualTo(Progress.NEED_MORE);
    assertThat(dialogue.lastRefusal().orElseThrow().reason()).isEqualTo(Refusal.Reason.ADDRESS);
    assertThat(feed(answerOf(1, request))).isEqualTo(Progress.ANSWERED);
  }

  @Test
  void anAnswerThatComesBeforeItsRequestIsNotTaken() {
    dialogue.begin();
    Request request = dialogue.nextRequest().orElseThrow();
    byte[] answer = answerOf(1, request);
    feed(answer);
    feed(answer);

    dialogue.nextRequest();

    assertThat(feed(new byte[0])).isEqualTo(Progress.NEED_MORE);
    assertThat(feed(answer)).isEqualTo(Progress.NEED_MORE);
    assertThat(dialogue.lastRefusal().orElseThrow().reason()).isEqualTo(Refusal.Reason.NOT_OURS);
  }

  @Test
  void theEchoOfOurRequestIsSkippedEvenInPieces() {
    dialogue.begin();
    Request request = dialogue.nextRequest().orElseThrow();
    byte[] echo = request.bytes();

    for (byte b : echo) {
      assertThat(feed(new byte[] {b})).isEqualTo(Progress.NEED_MORE);
    }

    assertThat(feed(answerOf(1, request))).isEqualTo(Progress.ANSWERED);
    assertThat(dialogue.counts().bytesThrownAway()).isZero();
    assertThat(dialogue.counts().framesRefused()).isZero();
  }

  @Test
  void theLengthOfTheAnswerIsKnownFromWhatHasCome() {
    dialogue.begin();
    Request request = dialogue.nextRequest().orElseThrow();
    byte[] answer = answerOf(1, request);

    dialogue.feed(answer, 0, 4);

    assertThat(dialogue.bytesWanted()).isEqualTo(answer.length - 4);
  }

  @Test
  void aReadingIsWholeOnlyWhenEveryMessageIsAnswered() {
    dialogue.begin();
    feed(answerOf(1, dialogue.nextRequest().orElseThrow()));

    assertThat(dialogue.reading(0)).isEmpty();
  }

  @Test
  void aBrokenAnswerIsRefusedAndTheRequestCanBeRepeated() {
    dialogue.begin();
    Request request = dialogue.nextRequest().orElseThrow();
    byte[] broken = answerOf(1, request);
    broken[10] ^= 1;

    assertThat(feed(broken)).isEqualTo(Progress.REFUSED);
    assertThat(dialogue.retry()).contains(request);
    assertThat(feed(answerOf(1, request))).isEqualTo(Progress.ANSWERED);
    assertThat(dialogue.counts().framesTaken()).isEqualTo(1);
    assertThat(dialogue.counts().framesRefused()).isEqualTo(1);
  }

  @Test
  void partsThatLieTooFarApartAreNotMerged() {
    Decoder linnet = Specs.find("linnet-4").orElseThrow();
    byte[] both = linnet.responder(0).orElseThrow().announce(truth);
    Dialogue listening = linnet.dialogue(0);
    int first = 2 + 1 + 10 + 2;
    listening.feed(both, 0, first);
    assertThat(listening.reading(1000)).isEmpty();

    listening.feed(both, first, both.length - first);

    assertThat(listening.reading(2600)).isEmpty();
    assertThat(listening.lastRefusal().orElseThrow().reason()).isEqualTo(Refusal.Reason.SKEW);
    listening.feed(both, 0, first);
    assertThat(listening.reading(3000)).isPresent();
  }

  @Test
  void aLongPieceOfNoiseIsThrownAwayWithinBounds() {
    byte[] noise = new byte[1 << 20];
    dialogue.begin();
    dialogue.nextRequest();

    feed(noise);
    dialogue.silence();

    assertThat(dialogue.counts().bytesThrownAway()).isEqualTo(noise.length);
  }

  @Test
  void wordsForPeopleStandBesideTheReading() {
    Dialogue teasel = Specs.find("teasel-16").orElseThrow().dialogue(1);
    Responder board = Specs.find("teasel-16").orElseThrow().responder(1).orElseThrow();
    teasel.begin();
    for (var r = teasel.nextRequest(); r.isPresent(); r = teasel.nextRequest()) {
      byte[] answer = board.feed(r.get().bytes(), () -> truth);
      teasel.feed(answer, 0, answer.length);
    }
    teasel.reading(0);

    assertThat(teasel.boardIdentity()).isEqualTo("TEASEL-0001");
    assertThat(teasel.extras()).extracting(Dialogue.Extra::name).contains("alarms", "cycles");
  }
}
