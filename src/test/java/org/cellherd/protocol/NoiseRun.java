package org.cellherd.protocol;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;

/**
 * Feeds random noise to every shipped decoder and counts what is taken for an answer. Run by hand
 * with the number of megabytes; a test runs a few of them.
 */
final class NoiseRun {

  /** What one decoder made of the noise. */
  record Result(String id, long bytes, long taken, long refused, int checkBits) {
    @Override
    public String toString() {
      return String.format(
          java.util.Locale.ROOT,
          "%-12s %,13d bytes, taken %d, refused %d, check of %d bits",
          id,
          bytes,
          taken,
          refused,
          checkBits);
    }
  }

  private NoiseRun() {}

  public static void main(String[] arguments) {
    long megabytes = arguments.length > 0 ? Long.parseLong(arguments[0]) : 100;
    run(megabytes << 20, 1).forEach(System.out::println);
  }

  /** Runs so many bytes through each decoder. */
  static List<Result> run(long bytes, long seed) {
    List<Result> results = new ArrayList<>();
    for (Decoder decoder : Specs.shipped()) {
      results.add(run(decoder, bytes, seed));
    }
    results.add(run(Specs.find("sunspec").orElseThrow(), bytes, seed));
    return results;
  }

  private static Result run(Decoder decoder, long bytes, long seed) {
    Random random = new Random(seed);
    Dialogue dialogue = decoder.dialogue(decoder.dialogue(1).isListenOnly() ? 0 : 1);
    byte[] chunk = new byte[256];
    long taken = 0;
    dialogue.begin();
    dialogue.nextRequest();
    for (long fed = 0; fed < bytes; fed += chunk.length) {
      random.nextBytes(chunk);
      Dialogue.Progress progress = dialogue.feed(chunk, 0, chunk.length);
      while (progress == Dialogue.Progress.ANSWERED) {
        taken++;
        if (dialogue.nextRequest().isEmpty()) {
          dialogue.begin();
          dialogue.nextRequest();
        }
        progress = dialogue.feed(chunk, 0, 0);
      }
      if (progress == Dialogue.Progress.REFUSED) {
        dialogue.retry();
      }
    }
    return new Result(decoder.id(), bytes, taken, dialogue.counts().framesRefused(), bits(decoder));
  }

  private static int bits(Decoder decoder) {
    return switch (decoder.id()) {
      case "fennel-4", "campion-8" -> 0;
      case "bryony-8", "linnet-4", "madder-8", "teasel-16", "sunspec" -> 16;
      default -> 8;
    };
  }
}
