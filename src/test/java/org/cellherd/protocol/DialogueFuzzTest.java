package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.Stream;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.spec.RawValues;
import org.cellherd.protocol.spec.Specs;

/**
 * Contract: any bytes in any pieces give each dialogue and responder a result, never an exception,
 * and no more bytes are thrown away than came.
 */
class DialogueFuzzTest {

  private static final List<Decoder> DECODERS =
      Stream.concat(Specs.shipped().stream(), Specs.coded().stream()).toList();

  private static final Reading READING = PlausibleReadings.any(new Random(1));

  @FuzzTest(maxDuration = "60s")
  void anyBytesGiveAResult(byte[] data) {
    if (data.length < 3) {
      return;
    }
    Decoder decoder = DECODERS.get((data[0] & 0xFF) % DECODERS.size());
    Dialogue dialogue = decoder.dialogue(1);
    // A decoder written as code need not be able to play its board.
    Optional<Responder> responder = decoder.responder(1);
    int size = 1 + (data[1] & 0x3F);
    dialogue.begin();
    dialogue.nextRequest();
    for (int at = 2; at < data.length; at += size) {
      int length = Math.min(size, data.length - at);
      Dialogue.Progress progress = dialogue.feed(data, at, length);
      for (int i = 0; progress == Dialogue.Progress.ANSWERED && i < 50; i++) {
        dialogue.reading(at);
        if (dialogue.nextRequest().isEmpty()) {
          dialogue.begin();
          dialogue.nextRequest();
        }
        progress = dialogue.feed(data, at, 0);
      }
      if (progress == Dialogue.Progress.REFUSED) {
        dialogue.retry();
      }
      assertThat(dialogue.bytesWanted()).isBetween(1, 1 << 16);
      byte[] piece = Arrays.copyOfRange(data, at, at + length);
      responder.ifPresent(board -> board.feed(piece, () -> READING));
    }
    dialogue.silence();
    dialogue.reading(data.length);
    assertThat(dialogue.counts().bytesThrownAway()).isBetween(0L, (long) data.length);
  }

  /** The same bytes behind a right header, so that the check value is what remains to be met. */
  @FuzzTest(maxDuration = "60s")
  void anyBytesInsideARightFrameGiveAResult(byte[] data) {
    if (data.length < 2) {
      return;
    }
    for (org.cellherd.protocol.spec.SpecDecoder decoder : Described.all()) {
      for (org.cellherd.protocol.spec.Message message : decoder.spec().messages()) {
        org.cellherd.protocol.spec.Draft draft = new org.cellherd.protocol.spec.Draft();
        message.body().decode(data, 0, draft);
        draft.reading(0);
        message.body().length(data, data.length, RawValues.NOTHING);
      }
    }
  }
}
