package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.reading;

import java.io.ByteArrayOutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Drawn logs (runs, paces that change, silences) with drawn damage, whose program was killed: what
 * is said to be lost against what was there.
 */
class DrawnDamageTest {

  private static final int DRAWS = Integer.getInteger("store.draws", 24);
  private static final long SEED = Long.getLong("store.seed", 1);
  private static final int PAGE = StoreSettings.DEFAULT.pageBytes();

  private static final int OPEN_DRAWS = Integer.getInteger("store.open", 6);

  /** The kind of damage that turns some bits. */
  private static final int BITS = 2;

  private static final Pattern LOST =
      Pattern.compile(
          "Pack a: (about )?(?:(\\d+) )?readings? from (\\S+ \\S+) UTC to (\\S+ \\S+) UTC lost");

  private static final Pattern LEFT =
      Pattern.compile("readings from (\\S+ \\S+) UTC to (\\S+ \\S+) UTC; any before or after");

  private static final String COUNTS_LOST =
      "or for up to 30 s or 4 polls within one, are not reported";

  private static final DateTimeFormatter TIME =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm:ss", Locale.ROOT);

  @TempDir Path folder;

  private record Said(boolean isAbout, long readings, long fromMs, long toMs) {}

  @Test
  void whatIsSaidToBeLostIsWhatIsLost() throws Exception {
    int lossy = 0;
    List<String> wrong = new ArrayList<>();
    for (int draw = 0; draw < DRAWS; draw++) {
      Random random = new Random(SEED * 1000 + draw);
      Path here = Files.createDirectory(folder.resolve("draw-" + draw));
      List<LogEntry> entries = draw(random);
      write(here, entries, random);
      String damage = damage(here.resolve("killed.db"), random, false);
      Set<LogEntry> found;
      int twice;
      List<String> reports;
      try (LogFile log = LogFile.open(here.resolve("killed.db"), OpenMode.WRITER)) {
        List<LogEntry> all = allAfterSalvage(log);
        found = new HashSet<>(all);
        all.removeIf(entry -> !(entry instanceof Reading));
        twice = all.size() - new HashSet<>(all).size();
        // What a whole block of a damaged page held is told whenever it is asked for, also again.
        Set<String> told = new LinkedHashSet<>(log.reports());
        log.losses().forEach(loss -> told.add(loss.sentence()));
        reports = List.copyOf(told);
      }
      List<Reading> lost = lost(entries, found);
      lossy += lost.isEmpty() ? 0 : 1;
      String problem = problem(entries, found, lost, reports);
      problem += twice > 0 ? twice + " read twice. " : "";
      if (!problem.isEmpty()) {
        wrong.add("seed " + SEED + ", draw " + draw + ", " + damage + ": " + problem + reports);
      }
    }
    assertThat(wrong).isEmpty();
    assertThat(lossy).isGreaterThan(DRAWS / 8);
  }

  /** A card turns bits under a running program, which goes on, checks within a day, and ends. */
  @Test
  void whatIsSaidToBeLostOfAnOpenLogIsWhatIsLost() throws Exception {
    int lossy = 0;
    List<String> wrong = new ArrayList<>();
    // Most damage to an open log costs nothing; some that does belongs to any sample.
    for (int draw = 0; draw < OPEN_DRAWS || (lossy == 0 && draw < 20 * OPEN_DRAWS); draw++) {
      Random random = new Random(SEED * 1000 + 500 + draw);
      Path here = Files.createDirectory(folder.resolve("open-" + draw));
      Path file = here.resolve("log.db");
      List<LogEntry> entries = draw(random);
      int struck = random.nextInt(entries.size());
      String damage = "";
      LogFile log = LogFile.open(file, OpenMode.WRITER);
      try (log) {
        for (int i = 0; i < entries.size(); i++) {
          if (i == struck) {
            damage = damage(file, random, true) + " at " + i;
          }
          log.writer().append("a", entries.get(i));
          long now = entries.get(i).timeMs();
          asTheDaemon(log, () -> log.writer().commitIfDue(now));
        }
        asTheDaemon(log, () -> log.writer().commit());
        asTheDaemon(log, () -> checkAll(log));
        asTheDaemon(log, () -> checkAll(log));
      }
      Set<String> told = new LinkedHashSet<>(log.reports());
      Set<LogEntry> found;
      try (LogFile again = LogFile.open(file, OpenMode.WRITER)) {
        found = new HashSet<>(allAfterSalvage(again));
        told.addAll(again.reports());
        again.losses().forEach(loss -> told.add(loss.sentence()));
      }
      List<Reading> lost = lost(entries, found);
      lossy += lost.isEmpty() ? 0 : 1;
      String problem = problem(entries, found, lost, List.copyOf(told));
      if (!problem.isEmpty()) {
        wrong.add("seed " + SEED + ", draw " + draw + ", " + damage + ": " + problem + told);
      }
    }
    assertThat(wrong).isEmpty();
    assertThat(lossy).isPositive();
  }

  private interface Work {
    void run() throws StorageFailure;
  }

  private static void checkAll(LogFile log) throws StorageFailure {
    while (log.checkNext()) {}
  }

  /** What damages is salvaged, and tried again with the next commit. */
  private static void asTheDaemon(LogFile log, Work work) throws StorageFailure {
    try {
      work.run();
    } catch (StorageFailure damaged) {
      assertThat(damaged.kind()).as("%s", damaged).isEqualTo(StorageFailure.Kind.DAMAGED);
      log.recover();
    }
  }

  private static List<Reading> lost(List<LogEntry> entries, Set<LogEntry> found) {
    List<Reading> lost = new ArrayList<>();
    for (LogEntry entry : entries) {
      if (entry instanceof Reading reading && !found.contains(reading)) {
        lost.add(reading);
      }
    }
    return lost;
  }

  private static String problem(
      List<LogEntry> entries, Set<LogEntry> found, List<Reading> lost, List<String> reports) {
    Set<LogEntry> unknown = new HashSet<>();
    if (reports.stream().anyMatch(r -> r.contains(COUNTS_LOST))) {
      unknown.addAll(atSeams(entries, found));
      unknown.addAll(inShortHoles(entries, found));
    }
    return judge(lost, reports, unknown);
  }

  /** As the daemon within a day: it checks all rows, salvages where one is damaged, and commits. */
  private static List<LogEntry> allAfterSalvage(LogFile log) throws StorageFailure {
    try {
      while (log.checkNext()) {}
      return all(log, "a");
    } catch (StorageFailure damaged) {
      assertThat(damaged.kind()).as("%s", damaged).isEqualTo(StorageFailure.Kind.DAMAGED);
      log.recover();
      log.writer().commit();
      return all(log, "a");
    }
  }

  /** Readings before the first and behind the last of their run that is left. */
  private static Set<LogEntry> atSeams(List<LogEntry> entries, Set<LogEntry> found) {
    Set<LogEntry> seams = new HashSet<>();
    List<LogEntry> sinceFound = new ArrayList<>();
    boolean isAnyFound = false;
    for (LogEntry entry : entries) {
      if (entry instanceof SessionStart) {
        seams.addAll(sinceFound);
        sinceFound.clear();
        isAnyFound = false;
      } else if (entry instanceof Reading && !found.contains(entry)) {
        sinceFound.add(entry);
      } else if (entry instanceof Reading) {
        seams.addAll(isAnyFound ? List.of() : sinceFound);
        sinceFound.clear();
        isAnyFound = true;
      }
    }
    seams.addAll(sinceFound);
    return seams;
  }

  /** Readings missing for as long as no count of the hour was needed to notice it. */
  private static Set<LogEntry> inShortHoles(List<LogEntry> entries, Set<LogEntry> found) {
    Set<LogEntry> all = new HashSet<>();
    List<LogEntry> hole = new ArrayList<>();
    long fromMs = Long.MIN_VALUE / 2;
    long longestMs = 0;
    long lastMs = entries.get(0).timeMs();
    for (LogEntry entry : entries) {
      longestMs = Math.max(longestMs, entry.timeMs() - lastMs);
      lastMs = entry.timeMs();
      if (!(entry instanceof Reading)) {
        hole.clear();
      } else if (!found.contains(entry)) {
        hole.add(entry);
      } else {
        boolean isShort = lastMs - fromMs <= Math.max(30_000, 4 * longestMs);
        all.addAll(isShort ? hole : List.of());
        hole.clear();
        fromMs = lastMs;
        longestMs = 0;
      }
    }
    return all;
  }

  private static String judge(List<Reading> lost, List<String> reports, Set<LogEntry> unknown) {
    List<Said> said = new ArrayList<>();
    long leftFrom = Long.MIN_VALUE;
    long leftTo = Long.MAX_VALUE;
    for (String report : reports) {
      Matcher loss = LOST.matcher(report);
      if (loss.find()) {
        long count = loss.group(2) == null ? -1 : Long.parseLong(loss.group(2));
        said.add(new Said(loss.group(1) != null, count, ms(loss.group(3)), ms(loss.group(4))));
      }
      Matcher left = LEFT.matcher(report);
      if (left.find()) {
        leftFrom = ms(left.group(1));
        leftTo = ms(left.group(2)) + 999;
      }
      if (report.contains("holds no reading any more")) {
        leftTo = Long.MIN_VALUE;
      }
    }
    StringBuilder problem = new StringBuilder();
    long within = 0;
    for (Reading reading : lost) {
      long time = reading.timeMs();
      if (said.stream().anyMatch(s -> s.fromMs() <= time && time <= s.toMs() + 999)) {
        within++;
      } else if (time >= leftFrom
          && time <= leftTo
          && !unknown.contains(reading)
          && problem.length() == 0) {
        problem.append("untold at ").append(reading.timeMs()).append(". ");
      }
    }
    long told = said.stream().mapToLong(Said::readings).sum();
    boolean isAbout = said.stream().anyMatch(Said::isAbout);
    long allowed = isAbout ? Math.max(12, within / 5) : 0;
    if (Math.abs(told - within) > allowed) {
      problem.append(within).append(" lost, ").append(told).append(" told. ");
    }
    return problem.toString();
  }

  private static long ms(String time) {
    return LocalDateTime.parse(time, TIME).toInstant(ZoneOffset.UTC).toEpochMilli();
  }

  /** Some runs; each has paces of its own that change, and silences that are told. */
  private static List<LogEntry> draw(Random random) {
    List<LogEntry> entries = new ArrayList<>();
    long now = T0 + random.nextInt(3_600_000);
    int runs = 1 + random.nextInt(4);
    for (int run = 1; run <= runs; run++) {
      entries.add(new SessionStart(now, run, true, false));
      long until = now + (long) ((0.2 + 3 * random.nextDouble()) * HOUR);
      if (random.nextBoolean()) {
        // Not long after an hour was packed: its rows are in the write-ahead log in both forms.
        until = until / HOUR * HOUR + HOUR + random.nextInt(200_000);
      }
      long pace = 1000;
      while (now < until) {
        if (random.nextInt(400) == 0) {
          pace = new long[] {1000, 2000, 5000, 10_000}[random.nextInt(4)];
        }
        now += pace + random.nextInt(80);
        if (random.nextInt(900) == 0) {
          long heard = now + 30_000 + random.nextInt(900_000);
          entries.add(new Gap(now, heard, Gap.Cause.NO_BYTES));
          now = heard;
        }
        entries.add(reading(now, 3300 + random.nextInt(5)));
      }
      now += random.nextInt(7_200_000);
    }
    return entries;
  }

  /** As the daemon does, and then as a killed one leaves its files. */
  private static void write(Path here, List<LogEntry> entries, Random random) throws Exception {
    Path file = here.resolve("log.db");
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      for (LogEntry entry : entries) {
        log.writer().append("a", entry);
        log.writer().commitIfDue(entry.timeMs());
      }
      log.writer().commitIfDue(entries.get(entries.size() - 1).timeMs() + 60_000);
      if (random.nextBoolean()) {
        log.writer().commit();
      }
      for (String ending : List.of("", "-wal", "-tail")) {
        Path left = here.resolve("log.db" + ending);
        if (Files.exists(left)) {
          Files.copy(left, here.resolve("killed.db" + ending));
        }
      }
    }
  }

  /** Pages, bits, the end of a file, or all of it. */
  private static String damage(Path file, Random random, boolean isBits) throws Exception {
    List<Path> files = new ArrayList<>(List.of(file, file, file));
    for (String ending : List.of("-wal", "-tail")) {
      Path beside = file.resolveSibling(file.getFileName() + ending);
      if (Files.exists(beside) && Files.size(beside) > 0) {
        files.add(beside);
      }
    }
    Path victim = files.get(random.nextInt(files.size()));
    byte[] bytes = Files.readAllBytes(victim);
    if (bytes.length <= PAGE) {
      return "nothing";
    }
    int pages = bytes.length / PAGE;
    int kind = isBits ? BITS : random.nextInt(5);
    switch (kind) {
      case 0 -> {
        for (int i = 0; i <= random.nextInt(3); i++) {
          byte[] noise = new byte[PAGE];
          random.nextBytes(noise);
          System.arraycopy(noise, 0, bytes, random.nextInt(pages) * PAGE, PAGE);
        }
      }
      case 1 -> {
        int from = random.nextInt(pages);
        int to = Math.min(pages, from + 1 + random.nextInt(6));
        Arrays.fill(bytes, from * PAGE, to * PAGE, (byte) 0);
      }
      case BITS -> {
        for (int i = 0; i < 1 + random.nextInt(20); i++) {
          bytes[random.nextInt(bytes.length)] ^= (byte) (1 << random.nextInt(8));
        }
      }
      case 3 -> bytes = new byte[0];
      default -> {
        ByteArrayOutputStream cut = new ByteArrayOutputStream();
        cut.write(bytes, 0, bytes.length - 1 - random.nextInt(Math.min(bytes.length, 9000)));
        bytes = cut.toByteArray();
      }
    }
    Files.write(victim, bytes);
    return victim.getFileName() + " kind " + kind;
  }
}
