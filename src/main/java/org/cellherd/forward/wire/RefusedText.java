package org.cellherd.forward.wire;

import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.pack.PlainText;

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
public record RefusedText(String log, long token, String why) implements CentreAnswer {

  private static final int LONGEST_WHY = 200;

  private static final Pattern LINE =
      Pattern.compile("([0-9a-f-]{36}) ([0-9a-f]{1,16}) refused (.{1,2000})");

  /** Of whatever version: who sent it, and by which token. */
  private static final Pattern SENT = Pattern.compile("[0-9]+ ([0-9a-f-]{36}) ([0-9a-f]{1,16}) .*");

  /** Cuts the reason and frees it of what is not for the screen. */
  public RefusedText {
    why = PlainText.marked(why, LONGEST_WHY);
  }

  /**
   * The answer to a message that is no parcel.
   *
   * @return empty when it does not even say who sent it
   */
  public static Optional<RefusedText> of(String message, String why) {
    Matcher sent = SENT.matcher(message.lines().findFirst().orElse(""));
    return sent.matches()
        ? Optional.of(
            new RefusedText(sent.group(1), Long.parseUnsignedLong(sent.group(2), 16), why))
        : Optional.empty();
  }

  @Override
  public String line() {
    return String.join(" ", log, Long.toHexString(token), "refused", why);
  }

  /** What a line says, if it is one of these. */
  static Optional<RefusedText> parse(String line) {
    Matcher match = LINE.matcher(line);
    return match.matches()
        ? Optional.of(
            new RefusedText(
                match.group(1), Long.parseUnsignedLong(match.group(2), 16), match.group(3)))
        : Optional.empty();
  }
}
