package org.cellherd.mqtt;

/** The contract against the in-process broker. */
class InProcessPublisherTest extends PublisherContract {

  @Override
  BrokerUnderTest broker() {
    return TestBroker.open();
  }
}
