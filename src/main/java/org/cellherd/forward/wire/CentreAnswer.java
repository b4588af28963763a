package org.cellherd.forward.wire;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.cellherd.pack.PlainText;

/** What a centre says of one sending of a parcel. */
public sealed interface CentreAnswer {

  /** Lines of one message that are read, at most. */
  int MOST = 1_000;

  String log();

  /** Token of the sending that is answered. */
  long token();

  String line();

  /** What a message says; lines that say nothing are left out. */
  static List<CentreAnswer> parse(String text) {
    List<CentreAnswer> all = new ArrayList<>();
    text.lines()
        .limit(MOST)
        .flatMap(line -> Stream.of(Held.parse(line), Refused.parse(line)))
        .flatMap(Optional::stream)
        .forEach(all::add);
    return all;
  }

  /**
   * What a centre says after its commit, one line a parcel.
   *
   * <pre>
   * LOG TOKEN REV CRC TOP SHARED
   * </pre>
   *
   * @param log UUID of the log
   * @param token of the sending that is answered
   * @param rev revision that the centre holds of this parcel: another than was sent when it had a
   *     newer one
   * @param crc CRC-32C of what it holds
   * @param top highest revision that it holds of this log
   * @param isShared true when another log came under the same site's name within the hour
   */
  record Held(String log, long token, long rev, long crc, long top, boolean isShared)
      implements CentreAnswer {

    private static final Pattern LINE =
        Pattern.compile(
            "([0-9a-f-]{36}) ([0-9a-f]{1,16}) ([0-9]{1,18}) ([0-9a-f]{1,8}) ([0-9]{1,18}) ([01])");

    @Override
    public String line() {
      return String.join(
          " ",
          log,
          Long.toHexString(token),
          Long.toString(rev),
          Long.toHexString(crc),
          Long.toString(top),
          isShared ? "1" : "0");
    }

    /** What a line says, if it is one of these. */
    static Optional<Held> parse(String line) {
      Matcher match = LINE.matcher(line);
      return match.matches()
          ? Optional.of(
              new Held(
                  match.group(1),
                  Long.parseUnsignedLong(match.group(2), 16),
                  Long.parseLong(match.group(3)),
                  Long.parseLong(match.group(4), 16),
                  Long.parseLong(match.group(5)),
                  match.group(6).equals("1")))
          : Optional.empty();
    }
  }

  /**
   * What a centre says of a parcel that it cannot read or store; the site keeps it.
   *
   * <pre>
   * LOG TOKEN refused WHY
   * </pre>
   *
   * @param log UUID of the log
   * @param token of the sending that is answered
   * @param why for people, one line of at most 200 characters and an ellipsis
   */
  record Refused(String log, long token, String why) implements CentreAnswer {

    private static final int LONGEST_WHY = 200;

    private static final Pattern LINE =
        Pattern.compile("([0-9a-f-]{36}) ([0-9a-f]{1,16}) refused (.{1,2000})");

    /** Of whatever version: who sent it, and by which token. */
    private static final Pattern SENT =
        Pattern.compile("[0-9]+ ([0-9a-f-]{36}) ([0-9a-f]{1,16}) .*");

    /** Cuts the reason and frees it of what is not for the screen. */
    public Refused {
      why = PlainText.marked(why, LONGEST_WHY);
    }

    /**
     * The answer to a message that is no parcel.
     *
     * @return empty when it does not even say who sent it
     */
    public static Optional<Refused> of(String message, String why) {
      Matcher sent = SENT.matcher(message.lines().findFirst().orElse(""));
      return sent.matches()
          ? Optional.of(new Refused(sent.group(1), Long.parseUnsignedLong(sent.group(2), 16), why))
          : Optional.empty();
    }

    @Override
    public String line() {
      return String.join(" ", log, Long.toHexString(token), "refused", why);
    }

    /** What a line says, if it is one of these. */
    static Optional<Refused> parse(String line) {
      Matcher match = LINE.matcher(line);
      return match.matches()
          ? Optional.of(
              new Refused(
                  match.group(1), Long.parseUnsignedLong(match.group(2), 16), match.group(3)))
          : Optional.empty();
    }
  }
}
