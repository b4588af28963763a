package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.SplittableRandom;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Function;
import java.util.function.Predicate;
import java.util.regex.Pattern;
import java.util.stream.IntStream;

/**
 * Draws boards, captures each from its own emulator, and counts what the search finds. {@code
 * BoardJudge SEED BOARDS [v]}; with v the sentences and drafts of what was missed. {@code
 * -Dlike="ONE_WIRE.*packed 10"} takes only boards in whose number and words that pattern is found:
 * {@code "^18 "} is number 18.
 */
public final class BoardJudge {
  private static final int INSTANTS = 120;
  private static final double[] NOISE = {0, 0.01, 0.04, 0.08};

  /** The verdicts without help and with two known values. */
  record Verdicts(List<BoardVerdict> alone, List<BoardVerdict> known, AtomicInteger untold) {
    double share(Predicate<BoardVerdict> what, boolean isKnown) {
      List<BoardVerdict> all = isKnown ? known : alone;
      return 100.0 * all.stream().filter(what).count() / all.size();
    }
  }

  private BoardJudge() {}

  /** Prints the table. */
  public static void main(String[] args) {
    long seed = Long.parseLong(args[0]);
    int boards = Integer.parseInt(args[1]);
    boolean isWordy = args.length > 2;
    Verdicts verdicts = judge(seed, boards, System.getProperty("like", ""), isWordy);
    System.out.printf(
        "seed %d, %d boards: without help / with two known values, %%%n", seed, boards);
    print("framing", BoardVerdict::framing, verdicts);
    print("check value", BoardVerdict::check, verdicts);
    print("cells", BoardVerdict::cells, verdicts);
    print("current", BoardVerdict::current, verdicts);
    print("temperatures", BoardVerdict::temperatures, verdicts);
    print("draft decodes 95 %", BoardVerdict::drafts, verdicts);
    print("sure, but untrue", BoardVerdict::untrue, verdicts);
    System.out.printf(
        "  left out: %d of %d instants, in which a frame without a check value became another%n",
        verdicts.untold().get(), boards * INSTANTS);
  }

  private static void print(String what, Predicate<BoardVerdict> is, Verdicts verdicts) {
    System.out.printf(
        Locale.ROOT,
        "  %-20s %5.0f / %5.0f%n",
        what,
        verdicts.share(is, false),
        verdicts.share(is, true));
  }

  static Verdicts judge(long seed, int boards, String like, boolean isWordy) {
    Verdicts verdicts = new Verdicts(new ArrayList<>(), new ArrayList<>(), new AtomicInteger());
    Pattern wanted = Pattern.compile(like);
    for (int n = 0, drawn = 0; drawn < boards; n++) {
      Random random = new Random(new SplittableRandom(1000 * seed + n).nextLong());
      EmulatedBoard board = new EmulatedBoard(random);
      boolean isWanted = wanted.matcher(n + " " + board).find();
      drawn += isWanted ? 1 : 0;
      if (!isWanted) {
        continue;
      }
      double noise = NOISE[n % NOISE.length];
      EmulatedLine line = new EmulatedLine(board, random, INSTANTS, noise);
      long from = System.nanoTime();
      Function<List<Known>, Identification> search =
          BringUp.search(HeardBytes.recording(line.heard()));
      Identification found = search.apply(List.of());
      BoardVerdict alone = BoardVerdict.of(board, line, found, false);
      // The owner measures a cell where the draft has none.
      List<Known> meter = line.meter(found.draft("drawn").orElse("").contains("as = \"cell\""));
      Identification helped = search.apply(meter);
      BoardVerdict known = BoardVerdict.of(board, line, helped, true);
      int untold = (int) IntStream.range(0, INSTANTS).filter(line::isUntold).count();
      verdicts.untold().addAndGet(untold);
      verdicts.alone().add(alone);
      verdicts.known().add(known);
      System.out.printf(
          Locale.ROOT,
          "%3d %s %s%s %4.0f ms, noise %.0f %%, %s%n",
          n,
          words(alone),
          words(known),
          String.format(Locale.ROOT, " %3.0f %%", 100 * alone.decoded()),
          (System.nanoTime() - from) / 1e6,
          noise * 100,
          board);
      if (isWordy && !words(Boolean.getBoolean("alone") ? alone : known).startsWith("FVCATD")) {
        System.out.println(meter);
        System.out.println(found.draft("drawn").orElse("      no draft"));
        helped.sentences().forEach(s -> System.out.println("      " + s));
        System.out.println(helped.draft("drawn").orElse("      no draft"));
      }
    }
    return verdicts;
  }

  private static String words(BoardVerdict v) {
    return (v.framing() ? "F" : ".")
        + (v.check() ? "V" : ".")
        + (v.cells() ? "C" : ".")
        + (v.current() ? "A" : ".")
        + (v.temperatures() ? "T" : ".")
        + (v.drafts() ? "D" : ".")
        + (v.untrue() ? "!" : "");
  }
}
