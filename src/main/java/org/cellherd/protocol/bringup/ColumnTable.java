package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.bringup.Structure.Kind;

/**
 * The bytes of one kind of message, column by column.
 *
 * @param title which kind, and how many of it
 * @param columns in the order of the message
 */
public record ColumnTable(String title, List<Column> columns) {

  /** Copies the list. */
  public ColumnTable {
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

  static ColumnTable of(Structure structure, Kind kind) {
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
    return new ColumnTable(title(kind), columns);
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
    return new Column(Integer.toString(at + 1), content, low != high, meaning(structure, kind, at));
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
