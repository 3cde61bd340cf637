//! Ids: what the text of a name becomes once it is resolved.

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
        pub struct $name(pub u16);

        impl $name {
            /// As an index.
            pub fn index(self) -> usize {
                usize::from(self.0)
            }
        }
    };
}

id!(
    /// A kind of entity: fibre, ink.
    KindId
);
id!(
    /// An entity or class.
    EntityId
);
id!(
    /// A property of one kind.
    PropertyId
);
id!(
    /// An attribute of a job.
    AttributeId
);
id!(
    /// An aspect that needs grounds.
    AspectId
);
id!(
    /// A rule.
    RuleId
);
id!(
    /// A source.
    SourceId
);
