package org.cellherd.protocol.bringup;

import java.util.List;
import java.util.Optional;
import org.cellherd.protocol.bringup.Structure.Kind;

/** What was found out about the messages of a capture. Immutable. */
public final class Identification {
  private final Optional<Structure> structure;
  private final int bursts;

  private Identification(Optional<Structure> structure, int bursts) {
    this.structure = structure;
    this.bursts = bursts;
  }

  static Identification nothing(int bursts) {
    return new Identification(Optional.empty(), bursts);
  }

  static Identification of(Cut cut, List<ChecksumFit> fits, boolean isAsked) {
    return new Identification(Optional.of(Structure.of(cut, fits, isAsked)), cut.samples().size());
  }

  /** True when a check value was found that cannot be chance. */
  public boolean isSure() {
    return certainty() == Certainty.SURE;
  }

  /** How sure the check value, and with it the bounds of messages, is. */
  public Certainty certainty() {
    return structure
        .flatMap(Structure::checksum)
        .map(fit -> Certainty.of(fit.bits()))
        .orElse(Certainty.UNKNOWN);
  }

  /** Name of the check value as descriptions write it; empty when none was found. */
  public Optional<String> checksum() {
    return structure.flatMap(Structure::checksum).map(f -> f.checksum().word());
  }

  /** What was found, as sentences; the most important first. */
  public List<String> sentences() {
    return structure
        .map(s -> new Sentences(s).found())
        .orElse(
            List.of(
                "No messages can be told apart in "
                    + bursts
                    + (bursts == 1 ? " burst of bytes." : " bursts of bytes.")));
  }

  /** What further bytes would settle the rest, as sentences; empty when nothing is open. */
  public List<String> wanted() {
    return structure
        .map(s -> new Sentences(s).wanted())
        .orElse(
            List.of(
                "Capture at least ten messages while the board's values change; check baud and"
                    + " parity when no message ever repeats its first bytes."));
  }

  /** One table for each kind of message: the columns that change, readings that they may be. */
  public List<ColumnTable> tables() {
    return structure.map(s -> s.kinds().stream().map(k -> table(s, k)).toList()).orElse(List.of());
  }

  private static ColumnTable table(Structure structure, Kind kind) {
    return ColumnTable.of(structure, kind);
  }

  /** A first description of the board, to be completed by hand; empty when too little is known. */
  public Optional<String> draft(String id) {
    return structure.filter(s -> s.checksum().isPresent()).map(s -> DraftSpec.of(s, id));
  }

  /** How sure a statement is. */
  public enum Certainty {
    /** Chance is ruled out. */
    SURE("sure"),
    /** Chance is unlikely. */
    LIKELY("likely"),
    /** It fits, no more. */
    GUESS("a guess"),
    /** Nothing fits. */
    UNKNOWN("unknown");

    private static final int SURE_BITS = 30;
    private static final int LIKELY_BITS = 12;

    private final String word;

    Certainty(String word) {
      this.word = word;
    }

    /** The word for people. */
    public String word() {
      return word;
    }

    static Certainty of(int bits) {
      return bits >= SURE_BITS ? SURE : bits >= LIKELY_BITS ? LIKELY : GUESS;
    }
  }
}
