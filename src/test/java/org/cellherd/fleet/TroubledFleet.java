package org.cellherd.fleet;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Random;
import java.util.function.BooleanSupplier;
import org.cellherd.Await;
import org.cellherd.app.campaign.stage.Card;
import org.cellherd.app.daemon.Program;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.Mosquitto;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;
import org.cellherd.store.Remarks;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;

/**
 * Debian's PostgreSQL on a small disk, Debian's broker with access rules, and the program: a
 * gatherer and sites, each a process as its user starts it.
 */
final class TroubledFleet implements AutoCloseable {

  /** Notes that are written at a time. */
  static final int NOTES = 20;

  private static final String ROOT = FleetSite.ROOT;

  /** Rules that let everybody do what belongs to them. */
  private static final String GATHERER =
      "user gatherer\ntopic read "
          + ROOT
          + "/#\ntopic write "
          + ROOT
          + "/+/+/held\ntopic write "
          + ROOT
          + "/gatherer/#\n";

  /** As long as three sendings and their pauses take, on a busy computer. */
  private static final Duration LONG = Duration.ofMinutes(5);

  final Card card;
  final KilledCentre centre;
  private final Path disk;
  private final Path folder;
  private final Random random;
  private final Mosquitto broker;
  private final Map<String, Program> sites = new LinkedHashMap<>();
  private final Program gatherer;
  private long notes;

  TroubledFleet(Path folder, Random random) throws IOException, SQLException, InterruptedException {
    this.folder = folder;
    this.random = random;
    // Not below a folder of the test's own: the server runs as another user.
    this.disk = Files.createTempDirectory("cellherd-disk-");
    this.card = Card.mount(disk, "size=192m");
    this.centre = KilledCentre.in(Files.createDirectories(disk.resolve("centre")));
    Files.writeString(folder.resolve("acl"), rules("hill", "shore", "past", "future"));
    broker = Mosquitto.with(folder, false, "allow_anonymous true\nacl_file acl\n");
    centre.run(
        "CREATE ROLE herd LOGIN PASSWORD 'secret'; GRANT CREATE ON DATABASE postgres TO herd");
    Files.writeString(folder.resolve("password"), "x\n");
    new ProcessBuilder("chmod", "600", folder.resolve("password").toString()).start().waitFor();
    gatherer =
        Program.start(
            folder,
            Map.of(),
            "gather",
            "--store",
            centre.url("herd"),
            "--broker",
            broker.url().toString(),
            "--broker-user",
            "gatherer",
            "--broker-password-file",
            "password");
    gatherer.awaitText("connected to broker");
  }

  private static String rules(String... sites) {
    StringBuilder rules = new StringBuilder(GATHERER);
    for (String site : sites) {
      rules.append(mayWrite(site));
    }
    return rules.toString();
  }

  /** All that a site needs. */
  private static String mayWrite(String site) {
    Lane lane = new Lane(ROOT, site);
    return String.join(
        "\n",
        "user " + site,
        "topic readwrite dash/#",
        "topic write " + lane.parcel(),
        "topic write " + lane.now("#"),
        "topic write " + lane.link(),
        "topic read " + lane.held(),
        "");
  }

  /** From now on the broker has other rules; it is started again for that. */
  void ruleOut(String line) throws IOException {
    String rules = rules("hill", "shore", "past", "future");
    Files.writeString(folder.resolve("acl"), rules.replace(line + "\n", ""));
    broker.stop();
    broker.start();
  }

  void stopBroker() {
    broker.stop();
  }

  void startBroker() {
    broker.start();
  }

  /** Starts a site in a folder of its own; two folders may have one name. */
  void start(String where, String name, Map<String, String> environment) throws Exception {
    Path own = Files.createDirectories(folder.resolve(where));
    Files.copy(folder.resolve("password"), own.resolve("password"));
    new ProcessBuilder("chmod", "600", own.resolve("password").toString()).start().waitFor();
    Files.writeString(
        own.resolve("cellherd.toml"),
        """
        site = "%s"
        zone = "UTC"
        [store]
        file = "log.db"
        [mqtt]
        url = "%s"
        user = "%s"
        password_file = "password"
        client_id = "c-%s"
        root = "dash/%s"
        [forward]
        kb_per_s = 10000
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 1
        rated_ah = 100
        charge_mv = 14_000
        [pack.line]
        spec = "sedge-6"
        link = "tcp:127.0.0.1:1"
        """
            .formatted(name, broker.url(), name, where, where));
    Program program = Program.start(own, environment, "run");
    sites.put(where, program);
    program.awaitText("watching crate");
  }

  List<String> sites() {
    return List.copyOf(sites.keySet());
  }

  Path log(String where) {
    return folder.resolve(where).resolve("log.db");
  }

  /** People write so much that the database must grow. */
  void write(String where) throws StorageFailure {
    try (Remarks remarks = Remarks.open(log(where), StoreSettings.DEFAULT)) {
      for (int i = 0; i < NOTES; i++) {
        StringBuilder text = new StringBuilder();
        random.ints(3_000, '!', '~').forEach(c -> text.append((char) c));
        remarks.add(new Note("crate", FleetSite.T0 + ++notes, "owner", text.toString()));
      }
    }
  }

  /** Changes a site's log by SQL. */
  void change(String where, String sql) throws SQLException {
    try (Connection c = DriverManager.getConnection("jdbc:sqlite:" + log(where));
        Statement s = c.createStatement()) {
      s.execute("PRAGMA busy_timeout = 10000");
      s.execute(sql);
    }
  }

  /** Parcels of a site that no centre holds. */
  long waiting(String where) {
    try (LogFile log = LogFile.open(log(where), OpenMode.READER)) {
      return log.journal().waiting();
    } catch (StorageFailure busy) {
      return Long.MAX_VALUE;
    }
  }

  /** What the gatherer, or a site, has printed since a place in its text. */
  Said said(String who) {
    return new Said(program(who), program(who).text().length());
  }

  /** The gatherer, or a site. */
  Program program(String who) {
    return who.equals("gatherer") ? gatherer : Objects.requireNonNull(sites.get(who), who);
  }

  void await(String what, BooleanSupplier condition) {
    try {
      Await.until(what, LONG, condition);
    } catch (AssertionError inVain) {
      List<String> texts = new ArrayList<>(List.of("gatherer: " + gatherer.text()));
      sites.forEach((name, program) -> texts.add(name + ": " + program.text()));
      throw new AssertionError(inVain.getMessage() + "\n" + String.join("\n", texts), inVain);
    }
  }

  /**
   * What a program printed since a place.
   *
   * @param program which
   * @param from characters before
   */
  record Said(Program program, int from) {

    /** Lines of trouble, but those of a pack. */
    List<String> warnings() {
      String text = program.text();
      return text.substring(Math.min(from, text.length()))
          .lines()
          .filter(line -> line.contains(" WARN ") || line.contains(" ERROR "))
          .filter(line -> !line.contains(" pack "))
          .toList();
    }

    boolean has(List<String> words) {
      return warnings().stream().anyMatch(line -> words.stream().anyMatch(line::contains));
    }
  }

  @Override
  public void close() throws IOException {
    sites.values().forEach(Program::close);
    gatherer.close();
    broker.close();
    centre.close();
    card.close();
    Files.delete(disk);
  }
}
