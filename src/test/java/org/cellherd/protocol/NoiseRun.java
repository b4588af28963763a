package org.cellherd.protocol;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.stream.Stream;
import org.cellherd.board.LinkException;
import org.cellherd.board.ModbusTcpNoise;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;

/**
 * Feeds random noise to every shipped decoder, with pauses now and then, and counts what is taken
 * for an answer, and what the width of the check value leads to expect. Run by hand: {@code
 * NoiseRun MEGABYTES [FILE=BITS]...}, each FILE a further description with a check value of so many
 * bits; a test runs less.
 */
final class NoiseRun {

  /** What one decoder made of the noise. */
  record Result(String id, long bytes, long taken, long refused, int checkBits) {

    /**
     * At most so many frames pass by chance: of all that had head and length of an answer, 1 in
     * 2^bits.
     */
    double expected() {
      return (taken + refused) / Math.pow(2, checkBits);
    }

    @Override
    public String toString() {
      return String.format(
          Locale.ROOT,
          "%-12s %,13d bytes, taken %d, refused %d, check of %d bits lets expect at most %.2f",
          id,
          bytes,
          taken,
          refused,
          checkBits,
          expected());
    }
  }

  private NoiseRun() {}

  public static void main(String[] arguments) throws IOException {
    long megabytes = arguments.length > 0 ? Long.parseLong(arguments[0]) : 100;
    for (String argument : arguments) {
      int behind = argument.lastIndexOf('=');
      if (behind > 0) {
        int bits = Integer.parseInt(argument.substring(behind + 1));
        System.out.println(run(read(argument.substring(0, behind)), bits, megabytes << 20, 1));
      }
    }
    decoders().forEach(d -> System.out.println(run(d, megabytes << 20, 1)));
    System.out.println(modbusTcp(megabytes << 20, 1));
  }

  private static Decoder read(String file) throws IOException {
    Problems problems = new Problems();
    return Specs.read(file, Files.readString(Path.of(file)), problems)
        .orElseThrow(() -> new IllegalArgumentException(problems.toString()));
  }

  private static List<Decoder> decoders() {
    List<Decoder> decoders = new ArrayList<>(Specs.shipped());
    decoders.add(Specs.find("sunspec").orElseThrow());
    return decoders;
  }

  /** Runs so many bytes through each decoder. */
  static List<Result> run(long bytes, long seed) {
    return Stream.concat(
            decoders().stream().map(d -> run(d, bytes, seed)), Stream.of(modbusTcp(bytes, seed)))
        .toList();
  }

  private static Result run(Decoder decoder, long bytes, long seed) {
    return run(decoder, bits(decoder), bytes, seed);
  }

  private static Result run(Decoder decoder, int bits, long bytes, long seed) {
    Random random = new Random(seed);
    Dialogue dialogue = decoder.dialogue(decoder.dialogue(1).isListenOnly() ? 0 : 1);
    byte[] chunk = new byte[256];
    long taken = 0;
    dialogue.begin();
    dialogue.nextRequest();
    long fed = 0;
    while (fed < bytes) {
      random.nextBytes(chunk);
      int length = 1 + random.nextInt(chunk.length);
      fed += length;
      taken += taken(dialogue, dialogue.feed(chunk, 0, length));
      if (random.nextInt(4) == 0) {
        taken += taken(dialogue, dialogue.silence());
      }
    }
    return new Result(decoder.id(), fed, taken, dialogue.counts().framesRefused(), bits);
  }

  /** Transaction and protocol, 16 bits each, stand where serial frames have a check value. */
  private static Result modbusTcp(long bytes, long seed) {
    try {
      ModbusTcpNoise noise = new ModbusTcpNoise(bytes, seed);
      return new Result("modbus-tcp", noise.fed(), noise.taken(), noise.refused(), 32);
    } catch (LinkException e) {
      throw new IllegalStateException(e);
    }
  }

  private static long taken(Dialogue dialogue, Dialogue.Progress first) {
    long taken = 0;
    Dialogue.Progress progress = first;
    while (progress == Dialogue.Progress.ANSWERED) {
      taken++;
      if (dialogue.nextRequest().isEmpty()) {
        dialogue.begin();
        dialogue.nextRequest();
      }
      progress = dialogue.feed(new byte[0], 0, 0);
    }
    if (progress == Dialogue.Progress.REFUSED) {
      dialogue.retry();
    }
    return taken;
  }

  private static int bits(Decoder decoder) {
    return switch (decoder.id()) {
      case "fennel-4", "campion-8" -> 0;
      case "bryony-8", "linnet-4", "madder-8", "teasel-16", "sunspec" -> 16;
      default -> 8;
    };
  }
}
