package org.cellherd.store;

import org.cellherd.analysis.state.SavedState;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.pack.Facts;

/** Facts to bytes and back, kinds and order kept. */
public final class FactsCodec {

  private FactsCodec() {}

  public static byte[] encode(Facts facts) {
    return SavedState.of(io -> io.facts(facts)).bytes();
  }

  /** The facts of some bytes; a word that they are unreadable where they make no sense. */
  public static Facts decode(byte[] bytes) {
    try {
      return SavedState.ofBytes(bytes).as(Facts.NONE, (blank, io) -> io.facts(blank));
    } catch (StateMismatch e) {
      return Facts.of().put("unreadable", String.valueOf(e.getMessage())).build();
    }
  }
}
