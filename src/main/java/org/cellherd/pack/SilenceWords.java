package org.cellherd.pack;

/** Why a board is not heard, with what to look at first. */
public final class SilenceWords {

  /** Why a board that most likely sleeps is not heard: nothing is to be looked at. */
  public static final String ASLEEP = "no answer after a rest, when boards sleep";

  private SilenceWords() {}

  /** Words for a cause, to stand behind a name or a colon. */
  public static String of(Gap.Cause cause) {
    return switch (cause) {
      case NO_BYTES ->
          "no answer; look at cable, address and baud rate, and whether another program has the"
              + " line";
      case BAD_CHECKSUM ->
          "bytes come but no frame passes its check; look at baud rate and description";
      case WRONG_ANSWER -> "frames come that are not the answer; look at address and description";
      case DECLINED -> "the board answers with an error; look at description and address";
      case PORT_MISSING -> "the port or host is not there; look at plug and adapter";
      case PORT_REFUSED -> "the port may not be opened, or another program holds it";
      case NOT_RUNNING -> "the program or the computer was not running";
      case SKIPPED -> "the computer was too slow, readings were skipped";
      case UNKNOWN -> "nothing is known of the cause";
    };
  }

  /** A cause's word and what it means, {@code no-bytes: no answer; ...}, as the log is searched. */
  public static String withWord(String word) {
    String meaning = ofWord(word);
    return meaning.equals(word) ? word : word + ": " + meaning;
  }

  /** Words for a cause's word, such as {@code no-bytes}; the word itself where it is none. */
  public static String ofWord(String word) {
    return Worded.find(Gap.Cause.values(), word).map(SilenceWords::of).orElse(word);
  }
}
