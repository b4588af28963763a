package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.sql.SQLException;
import java.util.Locale;
import java.util.Map;
import org.cellherd.app.daemon.Program;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Guarantees of {@code fleet --follow} as a process beside Debian's PostgreSQL. */
final class FollowedAlertsTest {

  private static final String LOG = "00000000-0000-4000-8000-000000000000";

  @TempDir Path folder;

  private static void alert(KilledCentre server, String pack, String state, String text)
      throws SQLException {
    server.run(
        String.format(
            Locale.ROOT,
            "INSERT INTO cellherd.alert VALUES ('hill', '%s', '%s', '%s', 'leak', 2, '%s',"
                + " true, 'warning', 0, 0, '%s', '-', NULL) ON CONFLICT (site, log, id) DO UPDATE"
                + " SET state = excluded.state, text = excluded.text, time_ms = alert.time_ms +"
                + " 60000, at = clock_timestamp()",
            LOG,
            pack,
            pack,
            state,
            text));
  }

  @Test
  void eachNewsIsPrintedOnceAlsoAfterTheServerWasKilled() throws Exception {
    try (KilledCentre server = KilledCentre.open()) {
      Centre.openForWriting(server.address()).close();
      for (String pack : new String[] {"lfp", "nmc"}) {
        server.run(
            String.format(
                Locale.ROOT,
                "INSERT INTO cellherd.pack_now(site, log, pack, worst, chemistry, rules)"
                    + " VALUES ('hill', '%s', '%s', 0, '%s', '{}')",
                LOG,
                pack,
                pack));
      }
      alert(server, "old", "raised", "Long ago.");
      String[] words = {"fleet", "--follow", "--store", server.url("postgres")};
      String[] some = {
        "fleet", "--follow", "--chemistry", "nmc", "--store", server.url("postgres")
      };
      try (Program all = Program.start(folder, Map.of(), words);
          Program nmc = Program.start(folder, Map.of(), some)) {
        all.awaitText("following the alerts");
        nmc.awaitText("following the alerts");

        // As a site sends it each minute while it stands.
        alert(server, "old", "raised", "Long ago.");
        alert(server, "lfp", "raised", "First.");
        alert(server, "nmc", "raised", "Second.");
        all.awaitText("warning  raised  hill/lfp  First.");
        all.awaitText("warning  raised  hill/nmc  Second.");
        nmc.awaitText("warning  raised  hill/nmc  Second.");
        server.disturb();
        alert(server, "lfp", "raised", "First.");
        alert(server, "old", "raised", "Long ago.");
        alert(server, "new", "raised", "Between.");
        all.awaitText("hill/new  Between.");
        alert(server, "lfp", "cleared", "Third.");
        alert(server, "nmc", "cleared", "Fourth.");
        all.awaitText("warning  cleared  hill/nmc  Fourth.");
        nmc.awaitText("warning  cleared  hill/nmc  Fourth.");

        assertThat(all.text()).contains("hill/lfp  Third.").doesNotContain("Long ago.");
        assertThat(nmc.text()).contains("Second.").doesNotContain("hill/lfp");
        assertThat(all.text().lines().filter(line -> line.contains("First.")).count()).isOne();
        assertThat(all.text().lines().filter(line -> line.contains(" WARN ")).count()).isOne();
        assertThat(all.isAlive()).isTrue();
      }
    }
  }
}
