package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.mqtt.Mosquitto;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The documentation's way to read several databases as one: its statements as they stand there. */
class SeveralServersTest {

  private static final Pattern SHOWN =
      Pattern.compile("(?s)## Several servers without an extension.*?```sql\n(.*?)```");

  @TempDir private Path folder;

  private final TestCentre first = TestCentre.fresh();
  private final TestCentre second = TestCentre.fresh();
  private final TestCentre all = TestCentre.fresh();
  private final String asker = all.user("");
  private final Map<String, Map<String, Long>> books = new HashMap<>();

  private void hold(TestCentre server, String site) throws Exception {
    try (Mosquitto broker = Mosquitto.open(folder);
        FleetSite grown = FleetSite.fresh(site, folder, broker.url(), 1)) {
      grown.grow(5);
    }
    // Opened again and closed a log packs its newest readings.
    LogFile.open(folder.resolve(site + ".db"), OpenMode.WRITER).close();
    books.put(site, SiteBook.of(folder.resolve(site + ".db")));
    try (LogFile log = LogFile.open(folder.resolve(site + ".db"), OpenMode.WRITER)) {
      HeldLog.hold(server, site, log, Map.of("crate", "[[pack]]"), parcel -> true);
    }
  }

  private static String options(TestCentre server) {
    Matcher url = Pattern.compile("@(.*):(.*)/(.*)").matcher(server.url("postgres"));
    assertThat(url.find()).isTrue();
    return String.format(
        "host '%s', port '%s', dbname '%s'", url.group(1), url.group(2), url.group(3));
  }

  private void join() throws Exception {
    String page = Files.readString(Path.of("src/deb/fleet.md"), StandardCharsets.UTF_8);
    Matcher shown = SHOWN.matcher(page);
    assertThat(shown.find()).isTrue();
    all.run(
        shown
            .group(1)
            .replaceAll("host 'a.lan'[^)]*", options(first))
            .replaceAll("host 'b.lan'[^)]*", options(second))
            .replace("'asker'", "'postgres'")
            .replace("CREATE ROLE everybody LOGIN;", "")
            .replaceAll("\\beverybody\\b", asker));
  }

  @Test
  void theSameQuestionsAreAskedOfAllServers() throws Exception {
    hold(first, "hill");
    hold(second, "shore");
    join();

    CentreAddress address = CentreAddress.of(all.url(asker), new char[0], Optional.empty());
    try (Centre open = Centre.openForReading(address)) {
      Optional<String> any = Optional.empty();
      List<FleetPack> packs = new FleetQuestion(any, any, any, 10).ask(open);
      assertThat(packs).extracting(FleetPack::site).containsExactly("hill", "shore");
      for (String site : List.of("hill", "shore")) {
        Path rebuilt = folder.resolve(site + "-rebuilt.db");
        SiteLog.newest(open, site).rebuild(rebuilt, Optional.empty());
        assertThat(SiteBook.of(rebuilt)).isEqualTo(books.get(site));
      }
    }
    assertThatThrownBy(() -> Centre.openForWriting(address))
        .isInstanceOf(CentreTrouble.class)
        .hasMessageContaining("gather into each of them");
  }
}
