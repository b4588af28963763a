package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.LocalDate;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.TreeSet;
import java.util.regex.Pattern;
import java.util.stream.LongStream;
import java.util.stream.Stream;
import org.cellherd.app.ExitCode;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.PlanText;
import org.cellherd.fleet.HeldLog;
import org.cellherd.fleet.TestCentre;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Parcel;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.ParcelKind;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** What a verb says of a log at a centre is what it says at the site, to the byte. */
class HeldAnswersTest {

  private static final List<String> VERBS =
      List.of(
          "capacity",
          "balance",
          "resistance",
          "rest",
          "energy",
          "ageing",
          "alerts",
          "note",
          "meter",
          "setpoints",
          "redate");

  /** What writes, or means the whole log. */
  private static final List<List<String>> REFUSED =
      List.of(
          List.of("note", "Tightened the straps."),
          List.of("note", "--withdraw", "1"),
          List.of("meter", "--current", "4.2", "--accuracy", "0.5 % + 0.02 A"),
          List.of("meter", "--withdraw", "1"),
          List.of("alerts", "ack", "shed.leak.1-1"),
          List.of("redate", "--by", "+1h", "--period", "1", "--write"),
          List.of("import", "shed.csv"),
          List.of("check"),
          List.of("backup", "backup.db"));

  /** They ask a centre for something else than a log. */
  private static final List<String> OF_MANY = List.of("gather", "fleet");

  /** After all that was drawn. */
  private static final long LATER = 1_783_000_000_000L;

  @TempDir private Path folder;

  static LongStream seeds() {
    long first = Long.getLong("cellherd.seed", 1);
    return LongStream.range(first, first + Integer.getInteger("cellherd.runs", 2));
  }

  private static Map<String, String> plans(Path file) {
    Map<String, String> plans = new HashMap<>();
    var read = ConfigFiles.loadPlans(file);
    read.packs().forEach(p -> plans.put(p.plan().id(), PlanText.of(p)));
    return plans;
  }

  /** What the verbs that write a file are given. */
  private static final String FILE = "answer";

  private static final Pattern MADE = Pattern.compile("Made \\d{1,2} \\w+ \\d{4} \\d\\d:\\d\\d");

  private static List<List<String>> questions(String pack, Random random) {
    List<List<String>> all = new ArrayList<>();
    LocalDate begin = LocalDate.parse(pack.equals("shed") ? "2026-09-25" : "2026-06-20");
    LocalDate from = begin.plusDays(random.nextInt(2));
    List<String> span = List.of("--from", from.toString(), "--to", from.plusDays(1).toString());
    for (String verb : VERBS) {
      all.add(List.of(verb));
      all.add(List.of(verb, "--json"));
    }
    all.add(Stream.concat(Stream.of("export"), span.stream()).toList());
    all.add(Stream.concat(Stream.of("report", FILE + ".html"), span.stream()).toList());
    all.add(List.of("report", "--format", "text", "--from", "2026-01-01"));
    all.add(List.of("export"));
    all.add(List.of("label", FILE + ".pdf"));
    all.add(List.of("setpoints", FILE + ".svg"));
    all.add(List.of("pile", "--out", FILE + ".csv"));
    all.add(List.of("report", "--from", "2026-01-01", FILE + ".html"));
    return all;
  }

  /** What a daemon adds: sessions, silences, readings of an hour that is not full yet. */
  private static void goOn(LogFile log, Random random) throws StorageFailure {
    long at = LATER;
    for (int run = 1; run <= 2; run++) {
      log.writer().append("crate", new SessionStart(at, run, true, random.nextBoolean()));
      for (int i = 0; i < 300 + random.nextInt(300); i++, at += 10_000) {
        if (random.nextInt(100) == 0) {
          long from = at;
          at += 60_000L * random.nextInt(200);
          log.writer().append("crate", new Gap(from, at, Gap.Cause.NO_BYTES));
        }
        int mv = 3_280 + random.nextInt(9);
        Reading reading =
            Reading.at(at)
                .cells(CellVoltages.ofMv(mv, mv + 3, mv - 2, mv + 1))
                .currentMa(-5_000 + random.nextInt(900))
                .build();
        log.writer().append("crate", reading);
      }
      log.writer().commit();
      at += 3_600_000L * random.nextInt(9);
    }
  }

  /** Takes out of a copy of the log what the centre does not hold. */
  private static void cut(Path copy, List<Parcel> missing) throws SQLException {
    try (Connection c = DriverManager.getConnection("jdbc:sqlite:" + copy);
        Statement s = c.createStatement()) {
      s.execute("DELETE FROM recent");
      if (!missing.isEmpty()) {
        s.execute("DELETE FROM snapshot");
      }
      for (Parcel parcel : missing) {
        ParcelKind kind = parcel.kind();
        String where = String.join(" = ? AND ", kind.keyColumns()) + " = ?";
        try (PreparedStatement delete =
            c.prepareStatement("DELETE FROM " + kind.word() + " WHERE " + where)) {
          String[] parts = parcel.key().split("/", kind.keyParts());
          for (int i = 0; i < parts.length; i++) {
            delete.setString(i + 1, parts[i]);
          }
          delete.executeUpdate();
        }
      }
    }
  }

  private static boolean isHeld(Parcel parcel, List<Parcel> missing, Random random) {
    return parcel.kind() == ParcelKind.SESSION || random.nextInt(20) > 0 || !missing.add(parcel);
  }

  /**
   * The site's log is cut to what is held: the hour that is not full yet never is; of the rest one
   * in twenty is on its way in every other draw, and saved states that rest on it go too.
   */
  @ParameterizedTest
  @MethodSource("seeds")
  void theAnswersAreTheSites(long seed) throws Exception {
    System.out.println("seed " + seed);
    Random random = new Random(seed);
    new DrawnLog(folder, seed, "--judge");
    TestCentre centre = TestCentre.fresh();
    Path plan = folder.resolve("plan.toml");
    Path copy = folder.resolve("copy.db");
    List<Parcel> missing = new ArrayList<>();
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      goOn(log, random);
      HeldLog.hold(
          centre,
          "hill",
          log,
          plans(plan),
          parcel -> seed % 2 == 0 || isHeld(parcel, missing, random));
      log.backup(copy);
    }
    cut(copy, missing);
    for (String pack : List.of("shed", "crate")) {
      for (List<String> question : questions(pack, random)) {
        List<String> here = new ArrayList<>(question);
        here.addAll(List.of("--pack", pack));
        List<String> there = new ArrayList<>(here);
        here.addAll(List.of("--db", copy.toString(), "--plan", plan.toString()));
        there.addAll(List.of("--store", centre.url("postgres"), "--site", "hill"));
        String answer = said(here);
        assertThat(answer).as("%s", here).startsWith(question.contains("pile") ? "2\n" : "0\n");
        assertThat(said(there)).as("%s", here).isEqualTo(answer);
      }
      for (List<String> refused : REFUSED) {
        List<String> there = new ArrayList<>(refused);
        there.replaceAll(w -> w.endsWith(".csv") ? folder.resolve(w).toString() : w);
        there.addAll(List.of("--store", centre.url("postgres"), "--site", "hill", "--pack", pack));
        Said said = Said.by(there.toArray(new String[0]));
        assertThat(said.err()).as("%s", there).contains("a log at a centre");
        assertThat(said.out()).isEmpty();
        assertThat(said.code()).isEqualTo(ExitCode.USAGE);
      }
    }
  }

  /** Logs are files to it, so that it has words of its own for one at a centre. */
  @Test
  void aPackAtACentreIsComparedAsItsLogIs() throws Exception {
    Path file = folder.resolve("log.db");
    assertThat(Said.by("simulate", "capacity-test", "--log", file.toString()).code()).isZero();
    TestCentre centre = TestCentre.fresh();
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      HeldLog.hold(centre, "hill", log, plans(folder.resolve("log.toml")), parcel -> true);
    }
    List<String> store = List.of("compare", "--store", centre.url("postgres"), "--site", "hill");
    List<String> held = Stream.concat(store.stream(), Stream.of("--pack", "crate")).toList();
    assertThat(said(held))
        .startsWith("0\nField crate\n")
        .isEqualTo(said(List.of("compare", file.toString())));
    assertThat(said(store)).contains("--store, --site and --pack go together");
  }

  /** No verb is left that takes a log at a centre and is not asked here. */
  @Test
  void everyVerbThatTakesALogIsAsked() {
    Set<String> asked = new TreeSet<>(OF_MANY);
    questions("shed", new Random(1)).forEach(words -> asked.add(words.get(0)));
    REFUSED.forEach(words -> asked.add(words.get(0)));
    asked.addAll(List.of("alerts ack", "compare"));
    assertThat(EveryVerb.all())
        .filteredOn(verb -> verb.getCommandSpec().findOption("--store") != null)
        .extracting(EveryVerb::words)
        .isSubsetOf(asked)
        .hasSizeGreaterThan(VERBS.size());
  }

  private String said(List<String> words) throws IOException {
    Path folder = Files.createDirectories(this.folder.resolve("answers"));
    List<String> inFolder = new ArrayList<>(words);
    inFolder.replaceAll(w -> w.startsWith(FILE) ? folder.resolve(w).toString() : w);
    Said said = Said.by(inFolder.toArray(new String[0]));
    StringBuilder all = new StringBuilder(said.code() + "\n" + said.out() + said.err());
    try (Stream<Path> files = Files.list(folder)) {
      for (Path file : files.toList()) {
        all.append(Files.readString(file, StandardCharsets.ISO_8859_1));
        Files.delete(file);
      }
    }
    // Both are asked by the wall clock, the one a second after the other.
    return MADE.matcher(all).replaceAll("Made now");
  }
}
