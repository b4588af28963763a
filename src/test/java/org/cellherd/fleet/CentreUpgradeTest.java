package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import java.util.UUID;
import org.cellherd.forward.wire.Lane;
import org.cellherd.store.sql.Database;
import org.junit.jupiter.api.Test;

/** A centre of an older program is brought up to date with all that it holds. */
class CentreUpgradeTest {

  /** The last version whose rows of a pack carried its whole state. */
  private static final int WITH_STATES = 5;

  private static final int PACKS = 60;

  private final TestCentre server = TestCentre.fresh();
  private final UUID log = UUID.randomUUID();
  private final Random random = new Random(server.database().hashCode());

  private CentreAddress as(String user) {
    return CentreAddress.of(server.url(user), new char[0], Optional.empty());
  }

  /** A state as a site sends it, some so long that the server lays them elsewhere. */
  private String state(String pack) {
    StringBuilder plan = new StringBuilder(pack);
    random.ints(random.nextInt(5_000), 'a', 'z' + 1).forEach(c -> plan.append((char) c));
    return String.format(
        Locale.ROOT,
        "{\"log\": \"%s\", \"plan_text\": \"%s\", \"plan\": {\"chemistry\": \"lfp\"}}",
        log,
        plan);
  }

  private void makeOld(String owner, List<String> states) throws CentreTrouble {
    try (Centre centre = Centre.connect(as(owner))) {
      centre.change(
          c -> {
            Database.execute(c, "CREATE SCHEMA cellherd");
            Database.execute(c, "CREATE TABLE schema_version(version integer PRIMARY KEY)");
            CentreSchema.raise(c, 0, WITH_STATES);
            for (int n = 0; n < states.size(); n++) {
              Database.update(
                  c,
                  "INSERT INTO pack_now(site, log, pack, worst, since_ms, chemistry, rules, facts)"
                      + " VALUES ('hill', ?, ?, 1, ?, 'lfp', '{}', ?::jsonb)",
                  log,
                  "p" + n,
                  n,
                  states.get(n));
            }
            return true;
          });
    }
  }

  @Test
  void statesMoveWithTheRightsToThem() throws CentreTrouble {
    String owner = server.user("");
    String gatherer = server.user("");
    String asker = server.user("");
    server.run("GRANT CREATE ON DATABASE " + server.database() + " TO " + owner);
    List<String> states = new ArrayList<>();
    for (int n = 0; n < PACKS; n++) {
      states.add(state("p" + n));
    }
    makeOld(owner, states);
    server.run("GRANT USAGE ON SCHEMA cellherd TO " + gatherer + ", " + asker);
    server.run("GRANT SELECT ON ALL TABLES IN SCHEMA cellherd TO " + gatherer + ", " + asker);
    server.run("GRANT INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA cellherd TO " + gatherer);
    assertThatThrownBy(() -> Centre.openForWriting(as(gatherer)))
        .isInstanceOf(CentreTrouble.class)
        .hasMessageEndingWith(
            " has tables of an older version; start cellherd gather of this version once as the"
                + " user who made them");
    Centre.openForWriting(as(owner)).close();

    Lane lane = new Lane(FleetSite.ROOT, "hill");
    String newer = state("newer");
    try (Centre centre = Centre.openForWriting(as(gatherer))) {
      NowRow.store(centre, List.of(NowRow.of(lane, "p0", newer)));
    }
    states.set(0, newer);
    Optional<String> any = Optional.empty();
    FleetQuestion all = new FleetQuestion(any, any, any, 2 * PACKS);
    try (Centre centre = Centre.openForReading(as(asker))) {
      List<FleetPack> packs = all.ask(centre);
      assertThat(packs).hasSize(PACKS);
      for (FleetPack pack : packs) {
        String sent = states.get(Integer.parseInt(pack.id().substring(1)));
        assertThat(pack.now().text("plan_text"))
            .isPresent()
            .isEqualTo(FleetPack.read(sent).text("plan_text"));
      }
    }
  }

  @Test
  void aStateOfAnotherLogGoesWholeAfterADay() throws CentreTrouble {
    Lane lane = new Lane(FleetSite.ROOT, "hill");
    try (Centre centre = Centre.openForWriting(server.address())) {
      NowRow.store(centre, List.of(NowRow.of(lane, "p0", state("old"))));
      server.run("UPDATE cellherd.pack_now SET at = now() - interval '25 hours'");
      String other = state("new").replace(log.toString(), UUID.randomUUID().toString());
      NowRow.store(centre, List.of(NowRow.of(lane, "p0", other)));
    }
    assertThat(server.text("SELECT count(*) FROM cellherd.pack_now")).isEqualTo("1");
    assertThat(server.text("SELECT count(*) FROM cellherd.pack_facts")).isEqualTo("1");
  }
}
