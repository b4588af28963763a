package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.security.KeyStore;
import java.util.Base64;
import java.util.List;
import java.util.stream.Stream;
import javax.net.ssl.TrustManagerFactory;
import javax.net.ssl.X509TrustManager;
import org.cellherd.FreePort;
import org.cellherd.app.ExitCode;
import org.cellherd.fleet.TestCentre;
import org.cellherd.mqtt.Certificates;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

/**
 * Every way in which a centre cannot be used gets one line, of each verb that asks it: where, what,
 * and what would be right.
 */
class CentreTroubleTest {

  private static final String SECRET = "not-for-the-screen";
  private static final String INVALID = ".invalid:5432";
  private static final String[] GATHER = {"gather", "--broker", "mqtt://127.0.0.1:1"};
  private static final String[] FLEET = {"fleet"};

  @TempDir private Path folder;

  /** What is wrong, and the words that say so to whoever gathers and to whoever asks. */
  enum Wrong {
    PASSWORD("refuses the password", "--store-password-file") {
      @Override
      List<String> words(TestCentre centre, Path folder) throws Exception {
        String user = centre.user("PASSWORD 'right'");
        centre.askForPassword(user);
        return List.of(centre.url(user), "--store-password-file", password(folder));
      }
    },
    NO_PASSWORD("asks for a password", "--store-password-file") {
      @Override
      List<String> words(TestCentre centre, Path folder) throws Exception {
        String user = centre.user("PASSWORD 'right'");
        centre.askForPassword(user);
        return List.of(centre.url(user));
      }
    },
    USER("does not let this user in", "--store") {
      @Override
      List<String> words(TestCentre centre, Path folder) {
        return List.of(centre.url("nobody-of-that-name"));
      }
    },
    TLS_DEMANDED(
        "does not let this user in", "ask for TLS, if it demands that, by --store-ca-file") {
      @Override
      List<String> words(TestCentre centre, Path folder) throws Exception {
        String user = centre.user("");
        centre.demandTls(user);
        return List.of(centre.url(user));
      }
    },
    DATABASE("has no database of that name", "CREATE DATABASE") {
      @Override
      List<String> words(TestCentre centre, Path folder) {
        return List.of(centre.url("postgres") + "-nowhere");
      }
    },
    SHUT_DATABASE("takes no connections", "ALLOW_CONNECTIONS") {
      @Override
      List<String> words(TestCentre centre, Path folder) {
        centre.refuseConnections();
        return List.of(centre.url("postgres"));
      }
    },
    NOBODY_LISTENS("cannot be reached", "is the port right?") {
      @Override
      List<String> words(TestCentre centre, Path folder) {
        return List.of("postgresql://herd@127.0.0.1:" + FreePort.find() + "/sites");
      }
    },
    UNKNOWN_HOST("no address for the name", "is it spelled right?") {
      @Override
      List<String> words(TestCentre centre, Path folder) {
        return List.of("postgresql://herd@no-such-host.invalid/sites");
      }
    },
    NO_RIGHTS("does not give this user the right", "fleet.md") {
      @Override
      List<String> words(TestCentre centre, Path folder) {
        tables(centre, 9);
        return List.of(centre.url(centre.user("")));
      }
    },
    TOO_MANY("takes no more connections", "max_connections") {
      @Override
      List<String> words(TestCentre centre, Path folder) {
        return List.of(centre.url(centre.user("CONNECTION LIMIT 0")));
      }
    },
    NEWER("version 9", "Use the newer program") {
      @Override
      List<String> words(TestCentre centre, Path folder) {
        tables(centre, 9);
        return List.of(centre.url("postgres"));
      }
    },
    NO_TLS("does not speak TLS", "?tls=off") {
      @Override
      List<String> words(TestCentre centre, Path folder) throws Exception {
        return List.of(centre.url("postgres"), "--store-ca-file", authority(folder));
      }
    },
    NO_POSTGRESQL("does not answer like a PostgreSQL server", "is the port right?") {
      @Override
      List<String> words(TestCentre centre, Path folder) throws Exception {
        return List.of("postgresql://herd@127.0.0.1:" + WrongServer.ofPages() + "/sites");
      }
    };

    private final String what;
    private final String right;

    Wrong(String what, String right) {
      this.what = what;
      this.right = right;
    }

    /** What follows --store. */
    abstract List<String> words(TestCentre centre, Path folder) throws Exception;
  }

  private static void tables(TestCentre centre, int version) {
    centre.run("CREATE SCHEMA cellherd");
    centre.run("CREATE TABLE cellherd.schema_version(version integer PRIMARY KEY)");
    centre.run("INSERT INTO cellherd.schema_version VALUES (" + version + ")");
  }

  private static String password(Path folder) throws IOException {
    Path file = folder.resolve("password");
    Files.writeString(file, SECRET + "\n");
    Files.setPosixFilePermissions(file, PosixFilePermissions.fromString("rw-------"));
    return file.toString();
  }

  /** One that Java trusts. */
  private static String authority(Path folder) throws Exception {
    TrustManagerFactory known =
        TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
    known.init((KeyStore) null);
    X509TrustManager trust = (X509TrustManager) known.getTrustManagers()[0];
    String base64 =
        Base64.getMimeEncoder().encodeToString(trust.getAcceptedIssuers()[0].getEncoded());
    Path file = folder.resolve("ca.pem");
    Files.writeString(
        file, "-----BEGIN CERTIFICATE-----\n" + base64 + "\n-----END CERTIFICATE-----\n");
    return file.toString();
  }

  @ParameterizedTest
  @EnumSource
  void oneLineSaysWhereWhatAndWhatWouldBeRight(Wrong wrong) throws Exception {
    List<String> store = wrong.words(TestCentre.fresh(), folder);
    for (String[] verb : List.of(GATHER, FLEET)) {
      assertThat(line(verb, store)).contains(wrong.what, wrong.right);
    }
  }

  @Test
  void whoMayMakeNoTablesCannotGather() {
    TestCentre centre = TestCentre.fresh();
    List<String> store = List.of(centre.url(centre.user("")));
    assertThat(line(GATHER, store))
        .contains("does not give this user the right", "see the roles in fleet.md");
  }

  @ParameterizedTest
  @CsvSource({
    "IP:127.0.0.1, other, no authority known here signed, --store-ca-file",
    "DNS:elsewhere.example, ca, a certificate for another name, --store"
  })
  void onlyTheServerThatIsMeantIsTrusted(String name, String signer, String what, String right)
      throws Exception {
    Certificates certificates = new Certificates(folder);
    certificates.authority("other");
    certificates.server("server", name, 30);
    String authority = folder.resolve(signer + ".pem").toString();
    String url = "postgresql://herd@127.0.0.1:" + WrongServer.ofTls(folder, "server") + "/sites";
    assertThat(line(FLEET, List.of(url, "--store-ca-file", authority))).contains(what, right);
  }

  @Test
  void aServerThatSaysNothingIsNotCalledUnreachable() throws Exception {
    String url = "postgresql://herd@127.0.0.1:" + WrongServer.ofSilence() + "/sites";
    assertThat(line(FLEET, List.of(url)))
        .contains("does not answer within 20 s", "is it stopped or very busy?")
        .doesNotContain("cannot be reached");
  }

  @Test
  void whoAsksBeforeAnybodyGatheredIsToldWhatMakesTheTables() {
    TestCentre centre = TestCentre.fresh();
    List<String> store = List.of(centre.url("postgres"));
    assertThat(line(FLEET, store)).contains("holds no sites yet; cellherd gather makes its tables");
    tables(centre, 1);
    assertThat(line(FLEET, store)).contains("tables of an older version; start cellherd gather");
  }

  @Test
  void aCentreWithoutSitesIsNoMistakeOfWhoAsks() {
    String url = TestCentre.fresh().url("postgres");
    assertThat(Said.by("gather", "--refold", "--store", url).code()).isZero();
    assertThat(Said.by("fleet", "--store", url).out().strip())
        .isEqualTo("The centre knows no pack yet.");
    assertThat(Said.by("fleet", "--store", url, "--site", "hill").out().strip())
        .isEqualTo("The centre knows no such pack.");
  }

  /** The one line of a verb, which names the centre and no secret. */
  private static String line(String[] verb, List<String> store) {
    String url = store.get(0);
    String[] words =
        Stream.of(List.of(verb), List.of("--store"), store)
            .flatMap(List::stream)
            .toArray(String[]::new);
    Said said = Said.by(words);
    assertThat(said.code()).as(said.err()).isEqualTo(ExitCode.STORE);
    assertThat(said.out()).isEmpty();
    assertThat(said.err().strip().lines()).hasSize(1);
    assertThat(said.err())
        .contains("centre " + url.substring(url.indexOf('@') + 1).replace(".invalid", INVALID))
        .doesNotContain(SECRET, "Exception", "FATAL", "ERROR:");
    return said.err();
  }
}
