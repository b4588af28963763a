package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.cellherd.pack.Spoken;
import org.cellherd.protocol.bringup.ChecksumFit.Form;
import org.cellherd.protocol.bringup.Identification.Certainty;

/** Says what a structure is. */
final class Sentences {
  private static final int MOST_RIVALS = 4;
  private static final String NOTHING_FITS =
      "No check value was found. Tried: all that descriptions know by name, behind the data with up"
          + " to two bytes after them or within the first bytes; sums that begin with any constant;"
          + " CRCs of 8 to 32 bits with any polynomial behind the data. Not tried: several check"
          + " values, and what leaves out bytes in the middle.";

  private final Structure s;

  Sentences(Structure structure) {
    this.s = structure;
  }

  List<String> found() {
    List<String> all = new ArrayList<>();
    all.add(bounds());
    all.add(beginning());
    s.length().ifPresent(l -> all.add(length(l)));
    all.add(s.checksum().map(this::checksum).orElse(NOTHING_FITS));
    rivals(all);
    all.add(kinds());
    return all;
  }

  private void rivals(List<String> all) {
    s.rivals().stream()
        .filter(r -> !isMirror(r))
        .limit(MOST_RIVALS)
        .forEach(r -> all.add("It may also be " + brief(r) + "."));
    String mirrors =
        s.rivals().stream()
            .filter(r -> isMirror(r) && r.form().front() >= s.dataAt())
            .map(r -> String.valueOf(r.form().front() + 1))
            .distinct()
            .collect(Collectors.joining(", "));
    if (!mirrors.isEmpty()) {
      all.add("By its nature it fits anywhere: it may also be byte " + mirrors + ".");
    }
  }

  /** To an exclusive-or or a complement all bytes and their check value are alike. */
  private boolean isMirror(ChecksumFit rival) {
    return rival.form().isInFront() && !s.checksum().orElseThrow().form().isInFront();
  }

  private String bounds() {
    String how = " (" + s.cut().how() + ")";
    if (s.tally().isEmpty()) {
      int others = s.cut().others();
      String text = Spoken.counted(s.cut().samples().size(), "message") + " cut out" + how;
      return text
          + (others == 0 ? "." : ", " + Spoken.counted(others, "piece") + " of no usual length.");
    }
    Whole.Tally t = s.tally().get();
    return "The check value passes in "
        + Spoken.counted(t.passed(), "message")
        + how
        + ", "
        + t.failed()
        + " of the same lengths fail it, "
        + Spoken.counted(t.others(), "piece")
        + " of other lengths; "
        + Spoken.counted(t.outside(), "byte")
        + " outside any whole message.";
  }

  private String beginning() {
    int same = Structure.constantPrefix(s.samples());
    if (same == 0) {
      return "No byte at the beginning is always the same.";
    }
    int shown = Math.min(same, 8);
    return "Each begins with "
        + HexFormat.ofDelimiter(" ").withUpperCase().formatHex(s.samples().get(0).bytes(), 0, shown)
        + (same > shown ? " ..." : "")
        + (s.cut().isHex() ? " (in hex digits)." : ".");
  }

  private String length(LengthFit l) {
    String place =
        l.bytes() == 1
            ? "Byte " + (l.at() + 1)
            : "Bytes "
                + (l.at() + 1)
                + " and "
                + (l.at() + 2)
                + (l.isLowFirst() ? " (low byte first)" : " (high byte first)");
    String what =
        " the message's length less "
            + l.uncounted()
            + (l.inCharacters() ? " characters" : " bytes")
            + (l.hasNibbleCheck() ? " in the lower twelve bits, which the upper four check" : "");
    return l.isProven()
        ? place + " hold" + (l.bytes() == 1 ? "s" : "") + what + ": right for " + lengths() + "."
        : place + " may hold" + what + ": all messages are of one length, so this is a guess.";
  }

  private String lengths() {
    Set<Integer> all = new TreeSet<>();
    s.samples().forEach(m -> all.add(m.length()));
    return all.size() == 1 ? "one length" : all.size() + " different lengths " + all;
  }

  private String checksum(ChecksumFit fit) {
    Whole.Tally t = s.tally().orElseThrow();
    Certainty certainty = s.certainty().orElseThrow();
    String text =
        String.format(
            Locale.ROOT,
            "The check value is %s. It fits %d of %s (%d %%): %s (chance 1 in 2^%d).",
            brief(fit),
            t.passed(),
            Spoken.counted(t.passed() + t.failed(), "message"),
            t.percent(),
            certainty.word(),
            fit.bits());
    return t.isNoise()
        ? text
        : text + " Noise alone does not explain the others: it may be another check value.";
  }

  private static String brief(ChecksumFit fit) {
    Form form = fit.form();
    String order =
        fit.checksum().bytes() == 1
            ? ""
            : form.isLowFirst() ? ", low byte first" : ", high byte first";
    return fit.checksum().described()
        + " "
        + place(form)
        + order
        + (form.isHex() ? ", written as hex digits" : "")
        + ", over "
        + (form.overCharacters() ? "the characters" : "the bytes")
        + " from byte "
        + (form.from() + 1)
        + " on"
        + (form.isInFront() && form.from() < form.front() ? " but itself" : "");
  }

  private static String place(Form form) {
    if (form.isInFront()) {
      return "in front, from byte " + (form.front() + 1) + " on";
    }
    return form.after() == 0 ? "at the end" : "before the last " + form.after() + " byte(s)";
  }

  private String kinds() {
    int n = s.kinds().size();
    if (n == 1) {
      return "All are of one kind.";
    }
    return Spoken.counted(n, "kind")
        + " of message"
        + (s.code().isPresent()
            ? ", told apart by byte " + (s.code().getAsInt() + 1) + "."
            : s.isAsked() ? ", told apart by their requests." : ", told apart by their lengths.");
  }

  List<String> wanted() {
    List<String> all = new ArrayList<>();
    if (s.checksum().isEmpty()) {
      all.add(
          "More messages with changing values, or a line without lost bytes, would show whether"
              + " there is a check value.");
    }
    s.checksum()
        .filter(f -> s.certainty().orElseThrow() != Certainty.SURE)
        .ifPresent(
            f -> all.add("A few more messages with other values would settle the check value."));
    if (!s.rivals().isEmpty()) {
      all.add(rivalsWanted());
    }
    if (s.length().filter(l -> !l.isProven()).isPresent()) {
      all.add("A message of another length would settle whether the length is in it.");
    }
    if (Structure.constantPrefix(s.samples()) > 0) {
      all.add(
          "A board with another address, or another request, would show which of the first bytes"
              + " are address and command.");
    }
    all.addAll(new OpenColumns(s).sentences());
    return all;
  }

  private String rivalsWanted() {
    boolean isRangeOnly =
        s.rivals().stream()
            .allMatch(r -> r.checksum().equals(s.checksum().orElseThrow().checksum()));
    return isRangeOnly
        ? "A message whose first bytes differ would settle where the check value's range begins."
        : "Messages of another length and with larger values would settle which check value it is.";
  }
}
