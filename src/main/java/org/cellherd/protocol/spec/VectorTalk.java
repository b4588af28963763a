package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.protocol.Dialogue.Progress;

/** The bytes of one vector heard one by one, and what of them was not taken. Used once. */
final class VectorTalk {
  private static final int MOST_TROUBLES = 8;

  private final SpecDialogue dialogue;
  private final boolean isListening;
  private final List<String> troubles = new ArrayList<>();
  private final long thrownBefore;
  private Progress last = Progress.NEED_MORE;
  private int heard;

  VectorTalk(SpecDialogue dialogue, boolean isListening) {
    this.dialogue = dialogue;
    this.isListening = isListening;
    this.thrownBefore = dialogue.counts().bytesThrownAway();
  }

  /** Feeds all bytes; the last thing that came of them. An answer ends what one was asked for. */
  Progress feed(byte[] bytes) {
    for (int i = 0; i < bytes.length && !isOver(); i++) {
      heard = i + 1;
      note(dialogue.feed(bytes, i, 1));
    }
    if (!isOver() && (last == Progress.NEED_MORE || isListening)) {
      note(dialogue.silence());
    }
    if (isListening) {
      dialogue.strangersIn(bytes).forEach(why -> troubles.add("a frame is passed over, " + why));
    }
    long thrown = dialogue.counts().bytesThrownAway() - thrownBefore;
    if (thrown > 0) {
      troubles.add(thrown + (thrown == 1 ? " byte belongs" : " bytes belong") + " to no frame");
    }
    return last;
  }

  private boolean isOver() {
    return !isListening && last == Progress.ANSWERED;
  }

  private void note(Progress first) {
    Progress progress = first;
    while (progress != Progress.NEED_MORE) {
      last = progress;
      if (progress == Progress.REFUSED) {
        dialogue.lastRefusal().map(VectorRun::text).ifPresent(this::refused);
      }
      if (isOver()) {
        return;
      }
      progress = dialogue.feed(new byte[0], 0, 0);
    }
  }

  private void refused(String why) {
    if (troubles.size() < MOST_TROUBLES) {
      troubles.add("a frame that ends before byte " + heard + " is refused, " + why);
    }
  }

  /** What was not taken, and why, in the order of the bytes. */
  List<String> troubles() {
    return List.copyOf(troubles);
  }
}
