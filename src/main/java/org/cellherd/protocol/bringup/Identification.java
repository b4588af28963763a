package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.bringup.Structure.Kind;

/** What was found out about the messages of a capture. Immutable. */
public final class Identification {
  private static final String MORE_LINES =
      "Lines while current and cells change would show what the other values are.";

  private final Optional<Structure> structure;
  private final Optional<TextLines> text;
  private final boolean isAsked;
  private final int bursts;

  private Identification(
      Optional<Structure> structure, Optional<TextLines> text, boolean isAsked, int bursts) {
    this.structure = structure;
    this.text = text;
    this.isAsked = isAsked;
    this.bursts = bursts;
  }

  static Identification nothing(int bursts) {
    return new Identification(Optional.empty(), Optional.empty(), false, bursts);
  }

  static Identification ofText(TextLines lines, boolean isAsked) {
    return new Identification(Optional.empty(), Optional.of(lines), isAsked, 0);
  }

  static Identification ofCan(Structure frames, TextLines lines) {
    return new Identification(Optional.of(frames), Optional.of(lines), false, 0);
  }

  static Identification of(Structure structure) {
    return new Identification(
        Optional.of(structure), Optional.empty(), structure.isAsked(), structure.samples().size());
  }

  /** True when a check value was found that cannot be chance. */
  public boolean isSure() {
    return certainty() == Certainty.SURE;
  }

  /** How sure the check value, and with it the bounds of messages, is. */
  public Certainty certainty() {
    return structure
        .flatMap(Structure::certainty)
        .or(() -> text.map(TextLines::bits).filter(b -> b > 0).map(Certainty::of))
        .orElse(Certainty.UNKNOWN);
  }

  /** Name of the check value as descriptions write it; empty when none was found. */
  public Optional<String> checksum() {
    return structure
        .flatMap(Structure::checksum)
        .map(f -> f.checksum().word())
        .or(() -> text.flatMap(TextLines::checksum));
  }

  /** What was found, as sentences; the most important first. */
  public List<String> sentences() {
    return text.map(TextLines::sentences)
        .or(() -> structure.map(s -> new Sentences(s).found()))
        .orElse(
            List.of(
                "No messages can be told apart in "
                    + bursts
                    + (bursts == 1 ? " burst of bytes." : " bursts of bytes.")));
  }

  /** What further bytes would settle the rest, as sentences; empty when nothing is open. */
  public List<String> wanted() {
    return text.map(t -> List.of(MORE_LINES))
        .or(() -> structure.map(s -> new Sentences(s).wanted()))
        .orElse(
            List.of(
                "Capture at least ten messages while the board's values change; check baud and"
                    + " parity when no message ever repeats its first bytes."));
  }

  /** The messages that were cut out and counted as whole, as they stand on the wire. */
  List<byte[]> messages() {
    return structure.map(s -> s.samples().stream().map(Sample::wire).toList()).orElse(List.of());
  }

  /** The board's address where the draft needs it; 0 where it does not. */
  public int address() {
    return structure
        .filter(s -> s.checksum().isPresent() && ModbusDraft.applies(s))
        .map(s -> s.samples().get(0).at(0))
        .orElse(0);
  }

  /** One table for each kind of message: the columns that change, readings that they may be. */
  public List<Table> tables() {
    return structure.map(s -> s.kinds().stream().map(k -> table(s, k)).toList()).orElse(List.of());
  }

  private static Table table(Structure structure, Kind kind) {
    return Table.of(structure, kind);
  }

  /** A first description of the board, to be completed by hand; empty when too little is known. */
  public Optional<String> draft(String id) {
    return structure
        .filter(s -> s.checksum().isPresent())
        .map(s -> DraftSpec.of(s, id))
        .or(() -> text.flatMap(TextLines::draft).map(d -> textHead(id) + d))
        .or(
            () ->
                structure
                    .filter(s -> text.isPresent())
                    .map(s -> textHead(id) + CanFrames.draft(s)));
  }

  private String textHead(String id) {
    return DraftHead.of(id, isAsked, sentences(), wanted());
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

    public String word() {
      return word;
    }

    static Certainty of(int bits) {
      return bits >= SURE_BITS ? SURE : bits >= LIKELY_BITS ? LIKELY : GUESS;
    }
  }

  /**
   * The bytes of one kind of message, column by column.
   *
   * @param title which kind, and how many of it
   * @param columns in the order of the message
   */
  public record Table(String title, List<Column> columns) {

    /** Copies the list. */
    public Table {
      columns = List.copyOf(columns);
    }

    /**
     * One byte, or the bytes of one guess.
     *
     * @param bytes place in the message, counted from 1: {@code 5} or {@code 5-36}
     * @param content what stands there: one hex byte, or smallest and largest
     * @param changes true when it is not always the same
     * @param meaning what it is or may be, may be empty
     */
    public record Column(String bytes, String content, boolean changes, String meaning) {}

    static Table of(Structure structure, Kind kind) {
      List<Column> columns = new ArrayList<>();
      List<ColumnGuess> guesses = kind.guesses();
      int end = kind.shortest();
      for (int at = 0; at < end; at++) {
        int place = at;
        var guess = guesses.stream().filter(g -> g.at() == place).findFirst();
        if (guess.isPresent()) {
          columns.add(guessed(guess.get(), kind.samples()));
          at = guess.get().end() - 1;
        } else {
          columns.add(plain(structure, kind, at));
        }
      }
      return new Table(title(kind), columns);
    }

    private static String title(Kind kind) {
      String code =
          kind.code().isPresent()
              ? String.format(Locale.ROOT, "kind %02X, ", kind.code().getAsInt())
              : "";
      String asked = kind.request().isEmpty() ? "" : "asked by " + kind.request() + ", ";
      return code
          + asked
          + Spoken.counted(kind.samples().size(), "message")
          + " of "
          + Spoken.counted(kind.shortest(), "byte");
    }

    private static Column guessed(ColumnGuess guess, List<Sample> samples) {
      Sample first = samples.get(0);
      String content =
          HexFormat.ofDelimiter(" ")
              .withUpperCase()
              .formatHex(first.bytes(), guess.at(), Math.min(guess.end(), guess.at() + 8));
      boolean changes = false;
      for (int at = guess.at(); at < guess.end(); at++) {
        changes |= !Structure.isConstant(samples, at);
      }
      String place = guess.at() + 1 + (guess.end() == guess.at() + 1 ? "" : "-" + guess.end());
      return new Column(
          place, content + (guess.end() > guess.at() + 8 ? " ..." : ""), changes, guess.what());
    }

    private static Column plain(Structure structure, Kind kind, int at) {
      int low = kind.samples().stream().mapToInt(s -> s.at(at)).min().orElse(0);
      int high = kind.samples().stream().mapToInt(s -> s.at(at)).max().orElse(0);
      String content =
          low == high
              ? String.format(Locale.ROOT, "%02X", low)
              : String.format(Locale.ROOT, "%02X..%02X", low, high);
      return new Column(
          Integer.toString(at + 1), content, low != high, meaning(structure, kind, at));
    }

    private static String meaning(Structure structure, Kind kind, int at) {
      if (structure.code().orElse(-1) == at) {
        return "names the kind";
      }
      if (structure.length().filter(l -> at >= l.at() && at < l.at() + l.bytes()).isPresent()) {
        return structure.length().get().isProven() ? "length" : "perhaps length";
      }
      if (structure.checksum().isPresent()) {
        ChecksumFit fit = structure.checksum().get();
        int place = fit.place(kind.shortest());
        if (at >= place && at < place + fit.width()) {
          return "check value";
        }
      }
      if (at >= kind.shortest() - structure.trailer()) {
        return "end";
      }
      return at < structure.dataAt() ? "header" : "";
    }
  }
}
