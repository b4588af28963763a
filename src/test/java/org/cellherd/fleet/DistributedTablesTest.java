package org.cellherd.fleet;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.store.sql.Database;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/**
 * The documentation's statement that distributes a centre's tables names each of them, in a new
 * centre and in one that an upgrade gave another table. The extension cannot be had here: its
 * function only notes what it was asked for, where its catalogue would.
 */
class DistributedTablesTest {

  private static final Pattern SHOWN = Pattern.compile("(?s)SELECT create_distributed_table.*?;");

  /** Before states lay apart from what packs are sought by. */
  private static final int OLDER = 5;

  private static final String BY_SITE =
      "SELECT string_agg(relname, ' ' ORDER BY relname) FROM pg_class c JOIN pg_index i ON"
          + " i.indrelid = c.oid AND indisprimary JOIN pg_attribute a ON attrelid = c.oid AND"
          + " attnum = indkey[0] WHERE relnamespace = 'cellherd'::regnamespace AND NOT"
          + " relispartition AND attname = 'site'";

  private static final String DISTRIBUTED =
      "SELECT string_agg(relname, ' ' ORDER BY relname) FROM pg_class JOIN pg_dist_partition ON oid"
          + " = logicalrelid";

  private final TestCentre server = TestCentre.fresh();

  @BeforeEach
  void standIn() {
    server.run("CREATE TABLE pg_dist_partition(logicalrelid regclass PRIMARY KEY)");
    server.run(
        "CREATE FUNCTION create_distributed_table(name regclass, by text) RETURNS void LANGUAGE sql"
            + " AS 'INSERT INTO pg_dist_partition VALUES (name)'");
  }

  private String statement() throws Exception {
    String page = Files.readString(Path.of("src/deb/fleet.md"), StandardCharsets.UTF_8);
    Matcher shown = SHOWN.matcher(page);
    assertThat(shown.find()).isTrue();
    return shown.group();
  }

  @Test
  void eachTableOfANewCentreIsDistributedOnce() throws Exception {
    Centre.openForWriting(server.address()).close();
    server.run(statement());
    assertThat(server.text(DISTRIBUTED)).contains("pack_facts").isEqualTo(server.text(BY_SITE));
    server.run(statement());
  }

  @Test
  void whatAnUpgradeAddsIsDistributedToo() throws Exception {
    try (Centre centre = Centre.connect(server.address())) {
      centre.change(
          c -> {
            Database.execute(c, "CREATE SCHEMA cellherd");
            Database.execute(c, "CREATE TABLE schema_version(version integer PRIMARY KEY)");
            CentreSchema.raise(c, 0, OLDER);
            return true;
          });
    }
    String all = server.text(BY_SITE);
    assertThat(all).doesNotContain("pack_facts");
    for (String table : all.split(" ")) {
      server.run("SELECT create_distributed_table('cellherd." + table + "', 'site')");
    }
    Centre.openForWriting(server.address()).close();
    server.run(statement());
    assertThat(server.text(DISTRIBUTED)).contains("pack_facts").isEqualTo(server.text(BY_SITE));
  }
}
