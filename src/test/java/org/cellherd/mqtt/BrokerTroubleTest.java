package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.Await;
import org.cellherd.FreePort;
import org.cellherd.Tools;
import org.cellherd.alert.AlertEvent;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.LinkSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Every way in which a broker cannot be used gets one line that says what to look at. */
class BrokerTroubleTest {

  private static final String LOCKED = "allow_anonymous false\npassword_file users\n";
  private static final String TLS = "certfile server.pem\nkeyfile server.key\n";

  @TempDir Path folder;
  private final TestSite site = new TestSite();

  private String trouble(MqttSettings settings) {
    try (MqttPublisher publisher = site.publisher(settings)) {
      Await.until("a trouble", () -> !site.troubles.isEmpty());
      assertThat(publisher.isConnected()).isFalse();
    }
    assertThat(site.troubles.get(0)).doesNotContain("\n", "secret");
    return site.troubles.get(0);
  }

  private Mosquitto tlsBroker(Certificates certificates, String san, int days) throws Exception {
    certificates.server("server", san, days);
    return Mosquitto.with(folder, true, "allow_anonymous true\n" + TLS);
  }

  @Test
  void nobodyListens() {
    assertThat(trouble(site.settings(new BrokerUrl(false, "127.0.0.1", FreePort.find())).build()))
        .contains("cannot be reached", "is the port right?");
  }

  @Test
  void unknownHost() {
    assertThat(trouble(site.settings(BrokerUrl.of("mqtt://no-such-host.invalid")).build()))
        .contains("no address for the name 'no-such-host.invalid'");
  }

  @Test
  void refusedLogin() throws Exception {
    Files.writeString(folder.resolve("users"), "");
    run("mosquitto_passwd", "-b", "users", "daemon", "right");
    try (Mosquitto broker = Mosquitto.with(folder, false, LOCKED)) {
      LinkSettings.Login login = new LinkSettings.Login("daemon", "secret".toCharArray());

      assertThat(trouble(site.settings(broker.url()).login(login).build()))
          .contains("refused the login of user 'daemon'", "check user and password file");
    }
  }

  @Test
  void refusedLoginOfTheInProcessBroker() {
    try (TestBroker broker = TestBroker.withPassword("right")) {
      assertThat(trouble(site.settings(broker.url()).build()))
          .contains("refused the login without a user");
    }
  }

  @Test
  void tlsWithPasswordAndItsAuthorityIsUsed() throws Exception {
    Certificates certificates = new Certificates(folder);
    certificates.server("server", "IP:127.0.0.1", 30);
    Files.writeString(folder.resolve("users"), "");
    run("mosquitto_passwd", "-b", "users", "daemon", "right");
    try (Mosquitto broker = Mosquitto.with(folder, true, LOCKED + TLS);
        MqttPublisher publisher =
            site.publisher(
                site.settings(broker.url())
                    .caFile(certificates.ca())
                    .login(new LinkSettings.Login("daemon", "right".toCharArray()))
                    .build())) {
      publisher.event(TestSite.event("e-1", AlertEvent.Change.RAISED));

      Await.until("delivered over TLS", () -> site.delivered.contains("e-1"));
    }
  }

  @Test
  void expiredCertificate() throws Exception {
    Certificates certificates = new Certificates(folder);
    try (Mosquitto broker = tlsBroker(certificates, "IP:127.0.0.1", -1)) {
      assertThat(trouble(site.settings(broker.url()).caFile(certificates.ca()).build()))
          .contains("certificate that is no longer valid");
    }
  }

  @Test
  void certificateForAnotherName() throws Exception {
    Certificates certificates = new Certificates(folder);
    try (Mosquitto broker = tlsBroker(certificates, "DNS:elsewhere.example", 30)) {
      assertThat(trouble(site.settings(broker.url()).caFile(certificates.ca()).build()))
          .contains("certificate for another name than '127.0.0.1'");
    }
  }

  @Test
  void certificateOfAnUnknownAuthority() throws Exception {
    Certificates certificates = new Certificates(folder);
    Path other = certificates.authority("other");
    try (Mosquitto broker = tlsBroker(certificates, "IP:127.0.0.1", 30)) {
      assertThat(trouble(site.settings(broker.url()).caFile(other).build()))
          .contains("not signed by the authority in ca_file " + other);
    }
  }

  @Test
  void certificateWithoutCaFile() throws Exception {
    Certificates certificates = new Certificates(folder);
    try (Mosquitto broker = tlsBroker(certificates, "IP:127.0.0.1", 30)) {
      assertThat(trouble(site.settings(broker.url()).build())).contains("give ca_file");
    }
  }

  @Test
  void caFileThatIsNone() throws Exception {
    Path file = folder.resolve("ca.txt");
    Files.writeString(file, "hello");
    BrokerUrl url = new BrokerUrl(true, "127.0.0.1", FreePort.find());

    assertThat(trouble(site.settings(url).caFile(file).build())).contains("ca_file " + file);
    site.troubles.clear();
    assertThat(trouble(site.settings(url).caFile(folder.resolve("absent.pem")).build()))
        .contains("absent.pem cannot be read");
  }

  @Test
  void plainPortSpokenToInTls() throws Exception {
    try (Mosquitto broker = Mosquitto.open(folder)) {
      BrokerUrl url = new BrokerUrl(true, "127.0.0.1", broker.url().port());

      assertThat(trouble(site.settings(url).build())).contains("TLS");
    }
  }

  @Test
  void tlsPortSpokenToPlainly() throws Exception {
    Certificates certificates = new Certificates(folder);
    try (Mosquitto broker = tlsBroker(certificates, "IP:127.0.0.1", 30)) {
      BrokerUrl url = new BrokerUrl(false, "127.0.0.1", broker.url().port());

      assertThat(trouble(site.settings(url).build())).contains("a port for TLS wants mqtts://");
    }
  }

  @Test
  void aListenerThatSaysNothingIsGivenUp() throws Exception {
    try (ServerSocket mute = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
      BrokerUrl url = new BrokerUrl(false, "127.0.0.1", mute.getLocalPort());

      assertThat(trouble(site.settings(url).timing(TestSite.QUICK).build()))
          .contains("does not answer");
    }
  }

  private void run(String program, String... arguments) throws Exception {
    List<String> words = new ArrayList<>();
    words.add(Tools.require(program).toString());
    words.addAll(List.of(arguments));
    new ProcessBuilder(words).directory(folder.toFile()).start().waitFor();
  }
}
